package page

import (
	"strings"
	"testing"
	"time"

	"reconcile/internal/record"
)

// The outfit of these tests, our own: vehicle alone 1,340 + 1,420, trailer
// 2,480, coupled 1,240 + 1,760 + 2,240, so that 240 press on the coupling.
const (
	head     = "ticket,setup,hitch,on_deck,reading,unit,interval,without,with,people,use,note\n"
	coupled  = "1,coupled,,front,1240,kg,20,,,2,,\n1,coupled,,rear,1760,kg,20,,,2,,\n1,coupled,,trailer,2240,kg,20,,,2,,\n"
	alone    = "2,vehicle_alone,,front,1340,kg,20,,,2,,\n2,vehicle_alone,,rear,1420,kg,20,,,2,,\n"
	unhooked = "3,trailer_alone,,all,2480,kg,20,,,,,\n"
	plain    = "people,rear_axles,trailer_axles,travels,trailer_brakes,region\n2,1,2,plain,driver,au\n"
	rated    = "rating,on,value,unit,kind\n"
)

// asked are forms that are asked each question, and the place where the page
// asks it.
var asked = []struct {
	code, part, tickets, ratings, outfit, loads string
}{
	{"axle_light", "slip", head + coupled + "2,vehicle_alone,,front,240,kg,20,,,2,,\n2,vehicle_alone,,rear,2520,kg,20,,,2,,\n", "", plain, ""},
	{"not_uncoupled", "slip", head + "1,coupled,,front+rear,2780,kg,20,,,2,,\n2,vehicle_alone,,vehicle,2760,kg,20,,,2,,\n" + unhooked, "", plain, ""},
	{"share_high", "slip", head + "1,coupled,,front+rear,3700,kg,20,,,2,,\n2,vehicle_alone,,vehicle,2760,kg,20,,,2,,\n" + unhooked, "", plain, ""},
	{"not_a_multiple", "slip", head + strings.Replace(coupled, "1240", "1243", 1), "", plain, ""},
	{"left_out_disagrees", "slip", head + coupled + alone + unhooked + "4,trailer_alone,,all,2900,kg,20,,,,no,the wind blew\n", "", plain, ""},
	{"with_everywhere", "slip", head + "1,vehicle_alone,,front,1340,kg,20,,dog,2,,\n1,vehicle_alone,,rear,1420,kg,20,,dog,2,,\n", "", plain, "load,mass,unit,on\ndog,30,kg,vehicle\n"},
	{"bars_unknown", "slip", head + strings.ReplaceAll(coupled, "coupled,,", "coupled,unknown,"), "", strings.Replace(plain, "plain", "tensioned", 1), ""},
	{"bars_not_stated", "plates", head + coupled + alone + unhooked, "", strings.Replace(plain, "plain", "", 1), ""},
	{"rating_small", "plates", head + alone, rated + "gvm,,150,kg,\n", plain, ""},
	{"axles_below_gvm", "plates", head + alone, rated + "gvm,,3200,kg,\naxle,front,1400,kg,\naxle,rear,1500,kg,\n", plain, ""},
	{"axles_far_above_gvm", "plates", head + alone, rated + "gvm,,3000,kg,\naxle,front,3100,kg,\naxle,rear,3100,kg,\n", plain, ""},
	{"axle_above_gvm", "plates", head + alone, rated + "gvm,,3200,kg,\naxle,front,3300,kg,\naxle,rear,1950,kg,\n", plain, ""},
	{"gvm_far_above", "plates", head + alone, rated + "gvm,,7000,kg,\n", plain, ""},
	{"gcm_below_gvm", "plates", head + alone, rated + "gvm,,3200,kg,\ngcm,,3000,kg,\n", plain, ""},
	{"gcm_above_sum", "plates", head + alone, rated + "gvm,,3200,kg,\ngcm,,9000,kg,\ntowing,,3500,kg,braked\n", plain, ""},
	{"gtm_above_atm", "plates", head + alone, rated + "atm,,2800,kg,\ngtm,,3000,kg,\n", plain, ""},
	{"atm_far_above", "plates", head + unhooked, rated + "atm,,12000,kg,\n", plain, ""},
	{"download_far_above", "plates", head + alone, rated + "download_max,vehicle,1000,kg,\ntowing,,3500,kg,braked\n", plain, ""},
	{"axle_each", "plates", head + alone, rated + "gtm,,2550,kg,\naxle,trailer,1300,kg,\n", plain, ""},
}

// formsOf are the files of a case that are not blank.
func formsOf(named map[string]string) []File {
	var files []File
	for _, name := range sortedKeys(named) {
		if named[name] != "" {
			files = append(files, File{name, []byte(named[name])})
		}
	}
	return files
}

// Every question that the core can ask is shown at its line, with a way to say
// that the line is right, which then is confirmed in the form.
func TestEveryQuestionAtItsLine(t *testing.T) {
	tried := map[string]bool{}
	for _, c := range asked {
		tried[c.code] = true
		pg := New(time.Now)
		pg.Do([]Event{{Do: "restore", Files: formsOf(map[string]string{ticketsForm: c.tickets, ratingsForm: c.ratings, "outfit.csv": c.outfit, loadsForm: c.loads})}})
		if len(pg.faults) > 0 {
			t.Errorf("%s: %v", c.code, pg.faults)
			continue
		}
		pg.Do([]Event{{Do: "goto", Value: c.part}})
		if !strings.Contains(onPage(pg, c.part), `data-question="`+c.code+`"`) {
			t.Errorf("%s is not shown in %s (asked: %v)", c.code, c.part, pg.record().Questions)
			continue
		}
		if c.code == "bars_not_stated" {
			pg.Do([]Event{{Do: "one", At: "outfit.csv|travels", Value: "plain"}})
		} else {
			q := question(pg.record(), c.code)
			pg.Do([]Event{{Do: "confirm", At: q.File + "|" + itoa(pg.forms.rowAt(q.File, q.Line)) + "|" + c.code}})
		}
		if q := question(pg.record(), c.code); q != nil && !q.Answered {
			t.Errorf("%s is still asked after it was answered", c.code)
		}
	}
	for _, code := range record.QuestionCodes {
		if !tried[code.Code] {
			t.Errorf("no forms here are asked %s", code.Code)
		}
	}
}

// onPage is what the page shows of a part: what fills it, and its pieces.
func onPage(pg *Page, part string) string {
	text := pg.sent[part]
	for _, id := range sortedKeys(pg.pieces) {
		text = strings.Replace(text, `<div id="`+id+`" data-piece="">`, `<div>`+pg.sent[id], 1)
	}
	return text
}

func question(r *record.Record, code string) *record.Question {
	if r == nil {
		return nil
	}
	for i := range r.Questions {
		if r.Questions[i].Code == code {
			return &r.Questions[i]
		}
	}
	return nil
}
