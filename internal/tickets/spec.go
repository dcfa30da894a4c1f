package tickets

import (
	"reflect"
	"slices"
	"strings"
)

// spec is what a form may hold.
type spec struct {
	name     string // of the file
	columns  []string
	numbers  []string // columns that hold numbers, for the decimal sign
	required []string // columns without which the form says nothing
}

// The rows of the forms: one field a column, its name in the tag. Columns
// marked number are looked through for their decimal sign, those marked
// required must be in the header. Each row lists its cells in the order of its
// fields.

type ticketRow struct {
	Job       cell `csv:"job"`
	Ticket    cell `csv:"ticket" form:"required"`
	WeighedAt cell `csv:"weighed_at"`
	Scale     cell `csv:"scale"`
	Setup     cell `csv:"setup" form:"required"`
	Hitch     cell `csv:"hitch"`
	OnDeck    cell `csv:"on_deck"`
	Reading   cell `csv:"reading" form:"number"`
	Unit      cell `csv:"unit"`
	Interval  cell `csv:"interval" form:"number"`
	Without   cell `csv:"without"`
	With      cell `csv:"with"`
	People    cell `csv:"people"`
	Use       cell `csv:"use"`
	Confirmed cell `csv:"confirmed"`
	VehicleID cell `csv:"vehicle_id"`
	TrailerID cell `csv:"trailer_id"`
	WeighedBy cell `csv:"weighed_by"`
	Copy      cell `csv:"copy"`
	Note      cell `csv:"note"`
}

func (r *ticketRow) cells(to []*cell) []*cell {
	return append(to, &r.Job, &r.Ticket, &r.WeighedAt, &r.Scale, &r.Setup, &r.Hitch, &r.OnDeck, &r.Reading,
		&r.Unit, &r.Interval, &r.Without, &r.With, &r.People, &r.Use, &r.Confirmed, &r.VehicleID, &r.TrailerID,
		&r.WeighedBy, &r.Copy, &r.Note)
}

type ratingRow struct {
	Job         cell `csv:"job"`
	Rating      cell `csv:"rating" form:"required"`
	On          cell `csv:"on"`
	Value       cell `csv:"value" form:"required,number"`
	Unit        cell `csv:"unit"`
	Fitted      cell `csv:"fitted"`
	Kind        cell `csv:"kind"`
	When        cell `csv:"when"`
	Set         cell `csv:"set"`
	Source      cell `csv:"source"`
	Certificate cell `csv:"certificate"`
	CertifiedOn cell `csv:"certified_on"`
	Replaced    cell `csv:"replaced"`
	Confirmed   cell `csv:"confirmed"`
	Copy        cell `csv:"copy"`
	Note        cell `csv:"note"`
}

func (r *ratingRow) cells(to []*cell) []*cell {
	return append(to, &r.Job, &r.Rating, &r.On, &r.Value, &r.Unit, &r.Fitted, &r.Kind, &r.When, &r.Set, &r.Source,
		&r.Certificate, &r.CertifiedOn, &r.Replaced, &r.Confirmed, &r.Copy, &r.Note)
}

type outfitRow struct {
	Job                      cell `csv:"job"`
	Owner                    cell `csv:"owner"`
	Vehicle                  cell `csv:"vehicle"`
	VehicleID                cell `csv:"vehicle_id"`
	Trailer                  cell `csv:"trailer"`
	TrailerID                cell `csv:"trailer_id"`
	WeighedBy                cell `csv:"weighed_by"`
	CheckedBy                cell `csv:"checked_by"`
	People                   cell `csv:"people"`
	Wheelbase                cell `csv:"wheelbase" form:"number"`
	RearAxleToCoupling       cell `csv:"rear_axle_to_coupling" form:"number"`
	CouplingToTrailerAxle    cell `csv:"coupling_to_trailer_axle" form:"number"`
	NoseSupportToTrailerAxle cell `csv:"nose_support_to_trailer_axle" form:"number"`
	RearAxles                cell `csv:"rear_axles"`
	TrailerAxles             cell `csv:"trailer_axles"`
	TrailerKind              cell `csv:"trailer_kind"`
	Suspension               cell `csv:"suspension"`
	DownloadShare            cell `csv:"download_share" form:"number"`
	LengthUnit               cell `csv:"length_unit"`
	LengthUncertainty        cell `csv:"length_uncertainty" form:"number"`
	Travels                  cell `csv:"travels"`
	TrailerBrakes            cell `csv:"trailer_brakes"`
	Region                   cell `csv:"region"`
	Because                  cell `csv:"because"`
}

func (r *outfitRow) cells(to []*cell) []*cell {
	return append(to, &r.Job, &r.Owner, &r.Vehicle, &r.VehicleID, &r.Trailer, &r.TrailerID, &r.WeighedBy,
		&r.CheckedBy, &r.People, &r.Wheelbase, &r.RearAxleToCoupling, &r.CouplingToTrailerAxle,
		&r.NoseSupportToTrailerAxle, &r.RearAxles, &r.TrailerAxles, &r.TrailerKind, &r.Suspension, &r.DownloadShare,
		&r.LengthUnit, &r.LengthUncertainty, &r.Travels, &r.TrailerBrakes, &r.Region, &r.Because)
}

type scaleRow struct {
	Job                 cell `csv:"job"`
	Scale               cell `csv:"scale" form:"required"`
	Site                cell `csv:"site"`
	Operator            cell `csv:"operator"`
	Class               cell `csv:"class"`
	Interval            cell `csv:"interval" form:"number"`
	Unit                cell `csv:"unit"`
	Max                 cell `csv:"max" form:"number"`
	Deck                cell `csv:"deck"`
	Certificate         cell `csv:"certificate"`
	VerifiedOn          cell `csv:"verified_on"`
	ExpandedUncertainty cell `csv:"expanded_uncertainty" form:"number"`
	StatedAt            cell `csv:"stated_at" form:"number"`
	SplitUncertainty    cell `csv:"split_uncertainty" form:"number"`
	Copy                cell `csv:"copy"`
}

func (r *scaleRow) cells(to []*cell) []*cell {
	return append(to, &r.Job, &r.Scale, &r.Site, &r.Operator, &r.Class, &r.Interval, &r.Unit, &r.Max, &r.Deck,
		&r.Certificate, &r.VerifiedOn, &r.ExpandedUncertainty, &r.StatedAt, &r.SplitUncertainty, &r.Copy)
}

type loadRow struct {
	Job         cell `csv:"job"`
	Load        cell `csv:"load" form:"required"`
	Mass        cell `csv:"mass" form:"required,number"`
	Unit        cell `csv:"unit"`
	Uncertainty cell `csv:"uncertainty" form:"number"`
	On          cell `csv:"on"`
	Place       cell `csv:"place"`
	MayGo       cell `csv:"may_go"`
	MayLeave    cell `csv:"may_leave"`
	Divisible   cell `csv:"divisible"`
	Set         cell `csv:"set"`
	Least       cell `csv:"least" form:"number"`
	Most        cell `csv:"most" form:"number"`
	Note        cell `csv:"note"`
}

func (r *loadRow) cells(to []*cell) []*cell {
	return append(to, &r.Job, &r.Load, &r.Mass, &r.Unit, &r.Uncertainty, &r.On, &r.Place, &r.MayGo, &r.MayLeave,
		&r.Divisible, &r.Set, &r.Least, &r.Most, &r.Note)
}

type placeRow struct {
	Job      cell `csv:"job"`
	Place    cell `csv:"place" form:"required"`
	On       cell `csv:"on" form:"required"`
	At       cell `csv:"at" form:"number"`
	Capacity cell `csv:"capacity" form:"number"`
}

func (r *placeRow) cells(to []*cell) []*cell {
	return append(to, &r.Job, &r.Place, &r.On, &r.At, &r.Capacity)
}

type issuerRow struct {
	Job        cell `csv:"job"`
	Name       cell `csv:"name"`
	Address    cell `csv:"address"`
	Licence    cell `csv:"licence"`
	Phone      cell `csv:"phone"`
	Email      cell `csv:"email"`
	NextNumber cell `csv:"next_number"`
}

func (r *issuerRow) cells(to []*cell) []*cell {
	return append(to, &r.Job, &r.Name, &r.Address, &r.Licence, &r.Phone, &r.Email, &r.NextNumber)
}

// The forms by their place in specs.
const (
	ticketsForm = iota
	ratingsForm
	outfitForm
	scalesForm
	loadsForm
	placesForm
	issuerForm
	formCount
)

// specs are the forms in the order in which faults are printed.
var specs = []*spec{
	specOf[ticketRow]("tickets.csv"),
	specOf[ratingRow]("ratings.csv"),
	specOf[outfitRow]("outfit.csv"),
	specOf[scaleRow]("scales.csv"),
	specOf[loadRow]("loads.csv"),
	specOf[placeRow]("places.csv"),
	specOf[issuerRow]("issuer.csv"),
}

func specOf[R any](name string) *spec {
	s := &spec{name: name}
	t := reflect.TypeFor[R]()
	for i := range t.NumField() {
		column, marks := t.Field(i).Tag.Get("csv"), t.Field(i).Tag.Get("form")
		s.columns = append(s.columns, column)
		if strings.Contains(marks, "number") {
			s.numbers = append(s.numbers, column)
		}
		if strings.Contains(marks, "required") {
			s.required = append(s.required, column)
		}
	}
	return s
}

// FormNames lists the forms of a job, tickets.csv first.
func FormNames() []string {
	var names []string
	for _, s := range specs {
		names = append(names, s.name)
	}
	return names
}

// formRank is the place of a form in the list, or its length.
func formRank(name string) int {
	for i, s := range specs {
		if strings.EqualFold(s.name, name) {
			return i
		}
	}
	return len(specs)
}

// knows says whether the form may have the column, in lower case. A column of
// tickets.csv may also be named like a term on the deck.
func (s *spec) knows(name string) bool {
	return slices.Contains(s.columns, name) || s == specs[0] && isTerm(name)
}

// names lists what a misspelt column may have meant.
func (s *spec) names() []string {
	if s != specs[0] {
		return s.columns
	}
	return append(slices.Clone(s.columns), termNames()...)
}
