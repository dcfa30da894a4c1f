package page

import (
	"encoding/json"
	"os"
	"strings"
	"testing"
	"time"

	"reconcile/internal/record"
)

// The outfit of these tests, our own: vehicle alone 1,340 + 1,420, trailer
// 2,480, coupled 1,240 + 1,760 + 2,240, so that 240 press on the coupling. The
// files of testdata/questions are of the same outfit.
const (
	head    = "ticket,setup,hitch,on_deck,reading,unit,interval,without,with,people,use,note\n"
	coupled = "1,coupled,,front,1240,kg,20,,,2,,\n1,coupled,,rear,1760,kg,20,,,2,,\n1,coupled,,trailer,2240,kg,20,,,2,,\n"
	plain   = "people,rear_axles,trailer_axles,travels,trailer_brakes,region\n2,1,2,plain,driver,au\n"
	rated   = "rating,on,value,unit,kind\n"
)

// formsOf are the files of a case that are not blank.
func formsOf(named map[string]string) []record.File {
	var files []record.File
	for _, name := range sortedKeys(named) {
		if named[name] != "" {
			files = append(files, record.File{Name: name, Bytes: []byte(named[name])})
		}
	}
	return files
}

// questionCodes are the questions of the schema.
func questionCodes(t *testing.T) []string {
	t.Helper()
	var schema struct {
		Defs struct {
			Question struct {
				OneOf []struct {
					Properties struct{ Code struct{ Const string } }
				}
			}
		} `json:"$defs"`
	}
	b, err := os.ReadFile("../record/schema.json")
	if err == nil {
		err = json.Unmarshal(b, &schema)
	}
	if err != nil {
		t.Fatal(err)
	}
	var all []string
	for _, q := range schema.Defs.Question.OneOf {
		all = append(all, q.Properties.Code.Const)
	}
	return all
}

// Every question that the core can ask is shown at its line, with a way to say
// that the line is right, which then is confirmed in the form. Each file of
// testdata/questions holds forms that are asked one question.
func TestEveryQuestionAtItsLine(t *testing.T) {
	tried := 0
	for _, code := range questionCodes(t) {
		path := "testdata/questions/" + code + ".txtar"
		text, err := os.ReadFile(path)
		if err != nil {
			t.Errorf("no forms are asked %s: %v", code, err)
			continue
		}
		tried++
		first, _, _ := strings.Cut(string(text), "\n")
		part := first[strings.LastIndex(first, " ")+1:]
		pg := newPage(time.Now)
		pg.do([]event{{Do: "restore", Files: archived(t, path)}})
		if len(pg.faults) > 0 {
			t.Errorf("%s: %v", code, pg.faults)
			continue
		}
		pg.do([]event{{Do: "goto", Value: part}})
		if !strings.Contains(onPage(pg, part), `data-question="`+code+`"`) {
			t.Errorf("%s is not shown in %s (asked: %v)", code, part, pg.record().Questions)
			continue
		}
		if code == "bars_not_stated" {
			pg.do([]event{{Do: "one", At: "outfit.csv|travels", Value: "plain"}})
		} else {
			q := &pg.record().Questions[question(pg.record(), code)]
			pg.do([]event{{Do: "confirm", At: q.File + "|" + itoa(pg.forms.rowAt(q.File, q.Line)) + "|" + code}})
		}
		if at := question(pg.record(), code); at >= 0 && !pg.record().Questions[at].Answered {
			t.Errorf("%s is still asked after it was answered", code)
		}
	}
	if tried < 19 {
		t.Errorf("%d questions tried", tried)
	}
}

// onPage is what the page shows of a part: what fills it, and its pieces.
func onPage(pg *page, part string) string {
	text := pg.sent[part]
	for _, id := range sortedKeys(pg.pieces) {
		text = strings.Replace(text, `<div id="`+id+`" data-piece="">`, `<div>`+pg.sent[id], 1)
	}
	return text
}

// question is the place of a question; -1 where it is not asked.
func question(r *record.Record, code string) int {
	if r == nil {
		return -1
	}
	for i := range r.Questions {
		if r.Questions[i].Code == code {
			return i
		}
	}
	return -1
}
