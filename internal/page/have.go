package page

import "reconcile/internal/regions"

// parts are the parts of the page in their order.
var parts = []choice{
	{"have", say("nav_have")}, {"plates", say("nav_plates")}, {"slip", say("nav_slip")}, {"answer", say("nav_answer")},
	{"whatif", say("what_if")}, {"keep", say("nav_keep")}, {"look", say("nav_look")},
}

// drawNav draws the way from part to part.
func (pg *page) drawNav() string {
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

func (pg *page) drawHave() string {
	var where []choice
	where = append(where, choice{"", say("another_country_or_i_dont")})
	for i := range regions.Table {
		r := &regions.Table[i]
		if r.Region != "" {
			where = append(where, choice{r.Region, r.Name})
		}
	}
	return heading("have", say("what_i_have")) +
		el("div", at{"class", "row"},
			pg.field(input{do: "region", at: "region", label: say("where_is_it_registered"), kind: "select", value: pg.region(), choices: where,
				form: "outfit.csv", columns: []string{"region"}, help: say("the_page_then_uses_the"), class: "full"}),
			pg.field(input{do: "unit", at: "unit", label: say("show_masses_in"), kind: "select", value: pg.unit(), choices: []choice{{"kg", say("kilograms")}, {"lb", say("pounds")}}})) +
		el("div", at{"class", "cards"},
			pg.haveCard("slip", "plates", say("a_slip_in_my_hand"), say("the_outfit_was_weighed_type")),
			pg.haveCard("plates", "plates", say("plates_only_nothing_weighed_yet"), say("see_what_the_stated_masses")),
			pg.haveCard("look", "look", say("a_summary_to_look_at"), say("check_a_summary_that_somebody"))) +
		el("section", at{"class", "panel"}, el("h3", nil, say("go_on_where_you_stopped")),
			pg.field(input{do: "files", at: "have", label: say("open_forms_zip_or_csv"), kind: "files"})) +
		pg.drawNotice() +
		p("help", say("nothing_leaves_this_page_it")) +
		el("p", at{"class", "help", "id", "store-note", "hidden", ""}, say("this_browser_gives_a_page"))
}

func (pg *page) haveCard(have, part, title, text string) string {
	return el("button", at{"type", "button", "class", "card", "data-do", "start", "data-at", have, "value", part, "aria-pressed", map[bool]string{true: "true", false: "false"}[pg.view.Have == have]},
		el("strong", nil, esc(title)), el("span", nil, esc(text)))
}

// refuse says why the last action was not done.
func (pg *page) refuse(why string) { pg.notice, pg.refused = why, true }

func (pg *page) drawNotice() string {
	if pg.notice == "" {
		return ""
	}
	if pg.refused {
		return el("p", at{"class", "notice refused", "role", "alert"}, el("span", at{"class", "verdict-mark", "aria-hidden", "true"}, "✕"), " ", esc(pg.notice))
	}
	return el("p", at{"class", "notice", "role", "status"}, esc(pg.notice))
}
