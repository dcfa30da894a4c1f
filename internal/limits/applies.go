package limits

import (
	"github.com/shopspring/decimal"

	"reconcile/internal/regions"
	"reconcile/internal/tickets"
)

// Applied is a rating line that applies under a set in a state, and the load it
// limits. Its limit is in kilograms, or in kilonewtons for a D-value; one that
// is neither is not known.
type Applied struct {
	Line  *tickets.Rating
	Set   string
	State tickets.State // "" for a load that has no state
	Lower bool          // a least, not a most
	// What is compared, of the masses of vehicle V and trailer T and of the
	// download D: V where Vehicle, plus Trailer·T plus Download·D. Where On names
	// a group it is the load of that group instead, of OneTyre or rim under it,
	// and of Force the D-value of the outfit.
	Vehicle           bool
	Trailer, Download float64
	On                tickets.Group
	OneTyre, Force    bool
	Part              bool    // one axle of a group: nothing says what it carries of the group's load
	Tyres             float64 // how many tyres carry the group's load, of a tyre or rim
	Unequal           float64 // u of one tyre's equal share, in parts of the share
	LimitKg           decimal.NullDecimal
	LimitKN           decimal.NullDecimal
	Assumed           []string
}

// applicable is what of a job's ratings applies before anything is weighed.
type applicable struct {
	Rows     []Applied    // in the order of the checks of a weighing
	NotGiven []regions.On // the usual ratings without a line
	Sets     []string     // "" for the ratings in force, then those of planned ones, in the order of the forms
	// Empty are the lines with an empty mass, by set and by what they are on: of the
	// set, else the plated one.
	Empty map[string]map[string]*tickets.Rating
}

// Applies says which rating lines of a job apply with the vehicle alone and as the
// outfit travels. It needs no reading.
func Applies(job *tickets.Job) applicable {
	m := new(memory)
	h := &checker{job: job, region: regions.Of(job.Region), st: m.inForce(job), memory: m}
	all := applicable{Sets: sets(job), Empty: map[string]map[string]*tickets.Rating{}}
	var rows []Check
	for i := range job.Ratings {
		r := &job.Ratings[i]
		a := h.st.compares[i]
		if a == nil {
			continue
		}
		for _, set := range all.Sets {
			for _, state := range a.States {
				// Alone and as it travels are the states that decide, whatever was weighed:
				// bars that are tensioned on the road move load from the rear axle to the
				// front axle and to the trailer. A third state would be a row that nobody
				// asked for.
				if state != noState && state != tickets.VehicleAlone && state != job.Outfit.Travels || !h.st.appliesIn(i, set, state) {
					continue
				}
				all.Rows = append(all.Rows, h.applied(r, a, set, state))
				rows = append(rows, Check{Line: r, Rating: r.Word, On: r.On, State: state, Set: set})
			}
		}
	}
	all.NotGiven = h.notGiven(rows)
	for _, set := range all.Sets {
		all.Empty[set] = map[string]*tickets.Rating{}
		for i := range job.Ratings {
			on := job.Ratings[i].On
			all.Empty[set][on] = h.st.emptyMass(on, set)
		}
	}
	return all
}

func (h *checker) applied(r *tickets.Rating, a *comparison, set string, state tickets.State) Applied {
	row := Applied{Line: r, Set: set, State: state, Lower: a.Lower, OneTyre: a.Load == oneTyre, Force: a.Load == couplerForce}
	row.of(a.Load)
	if row.Force {
		row.LimitKN = h.limitOf(r)
	} else {
		row.LimitKg = h.limitOf(r)
	}
	if len(r.Terms) != 1 {
		return row
	}
	t := h.plain(r.Terms[0])
	row.On = t.Group
	// From stated masses nobody knows what one axle of several, or one side, carries.
	row.Part = a.Load == support && (t.Axle > 0 || t.Side != "")
	if row.OneTyre {
		h.shareTyres(&row)
	}
	return row
}

// of says what a load is of the masses of the outfit, by what each rating
// limits (contract, section 1): gvm V + D, V alone; gcm V + T, the download
// counted once; atm T; the trailer's axles T − D.
func (a *Applied) of(l load) {
	switch l {
	case vehicleAxles:
		a.Vehicle = true
		if a.State != tickets.VehicleAlone {
			a.Download = 1
		}
	case wholeOutfit:
		a.Vehicle, a.Trailer = true, 1
	case wholeTrailer:
		a.Trailer = 1
	case trailerAxles:
		a.Trailer, a.Download = 1, -1
	case download:
		a.Download = 1
	}
}

// shareTyres says how the tyres of a group share its load where no axle and no
// side of it was read by itself.
//
// The same rules as for weighed loads, with nothing read separately.
func (h *checker) shareTyres(row *Applied) {
	group := tickets.Term{Group: row.On}
	row.Tyres = float64(h.perEnd(row.Line) * h.ends(group))
	springs := row.On != tickets.Trailer || h.job.Outfit.Suspension != rockerBeam
	row.Unequal = unequalShare
	if h.job.Outfit.Axles(row.On) >= groupOfAxles && springs {
		row.Unequal = unequalAxles
	}
	row.Assumed = append(row.Assumed, equalShare)
	if row.Line.Fitted <= 0 {
		row.Assumed = append(row.Assumed, fittedAssumed)
	}
}

// emptyMass is the line with the empty mass of what `on` names that applies
// under a set: one of the set, else the plated one; nil where there is none. Of
// several words kerb comes before tare and running_order: they exclude each other
// on one plate (contract, section 1), and the plainest goes first.
func (st *inForce) emptyMass(on, set string) *tickets.Rating {
	for _, own := range []string{set, ""} {
		for _, word := range emptyMasses {
			for i := range st.job.Ratings {
				r := &st.job.Ratings[i]
				if r.Word == word && r.On == on && r.Set == own && st.status[i] == held && r.LimitKg.Valid {
					return r
				}
			}
		}
	}
	return nil
}
