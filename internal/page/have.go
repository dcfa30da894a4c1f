package page

import "reconcile/internal/regions"

// parts are the parts of the page in their order.
var parts = []choice{
	{"have", "What I have"}, {"plates", "The plates"}, {"slip", "The slip"}, {"answer", "The answer"},
	{"whatif", "What if"}, {"keep", "Keep it"}, {"look", "Look at a summary"},
}

// drawNav draws the way from part to part.
func (pg *Page) drawNav() string {
	inside := ""
	for i, c := range parts {
		inside += el("li", nil, el("button", at{"type", "button", "data-do", "goto", "value", c.value, "aria-current", when(pg.view.Part == c.value, "page")},
			el("span", at{"class", "step"}, itoa(i+1)), " ", esc(c.text)))
	}
	return el("ol", nil, inside)
}

// heading is the heading of a part, to which the page goes.
func heading(part, text string) string {
	return el("h2", at{"id", "part-" + part, "tabindex", "-1"}, esc(text))
}

func (pg *Page) drawHave() string {
	var where []choice
	where = append(where, choice{"", "another country, or I don't know"})
	for i := range regions.Table {
		r := &regions.Table[i]
		if r.Region != regions.None {
			where = append(where, choice{string(r.Region), r.Name})
		}
	}
	return heading("have", "What I have") +
		el("div", at{"class", "cards"},
			pg.haveCard("slip", "plates", "A slip in my hand", "The outfit was weighed. Type what the plates and the slip say."),
			pg.haveCard("plates", "plates", "Plates only, nothing weighed yet", "See what the stated masses come to, and what to ask for at the weighbridge."),
			pg.haveCard("look", "look", "A summary to look at", "Check a summary that somebody gave you.")) +
		el("div", at{"class", "row"},
			pg.field(input{do: "region", at: "region", label: "Where is it registered?", kind: "select", value: string(pg.region()), choices: where,
				form: "outfit.csv", columns: []string{"region"}, help: "The page then uses the words on your plates."}),
			pg.field(input{do: "unit", at: "unit", label: "Show masses in", kind: "select", value: pg.unit(), choices: []choice{{"kg", "kilograms"}, {"lb", "pounds"}}})) +
		el("section", at{"class", "panel"}, el("h3", nil, "Go on where you stopped"),
			pg.field(input{do: "files", at: "have", label: "Open forms (.zip or .csv) or the PDF of a summary", kind: "files"})) +
		pg.drawNotice() +
		p("help", "Nothing leaves this page: it works without the internet, and what you type stays in this browser until you press Forget on the page Keep it.") +
		el("p", at{"class", "help", "id", "store-note", "hidden", ""}, "This browser gives a page opened from a file no store of its own: what you type is lost when the page is closed. Save the forms on the page Keep it.")
}

func (pg *Page) haveCard(have, part, title, text string) string {
	return el("button", at{"type", "button", "class", "card", "data-do", "start", "data-at", have, "value", part, "aria-pressed", map[bool]string{true: "true", false: "false"}[pg.view.Have == have]},
		el("strong", nil, esc(title)), el("span", nil, esc(text)))
}

func (pg *Page) drawNotice() string {
	if pg.notice == "" {
		return ""
	}
	return el("p", at{"class", "notice", "role", "status"}, esc(pg.notice))
}
