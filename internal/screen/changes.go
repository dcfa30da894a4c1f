package screen

// changes is what changed since an earlier visit, load by load, with ± U.
func (r view) changes() string {
	changes := r.Report().Changes
	text := hang("", changes.Head)
	t := table{head: []string{r.Head("load"), r.Head("then"), r.Head("now"), r.Head("change"), ""}, figures: []int{1, 2, 3}}
	for _, c := range changes.Rows {
		t.rows = append(t.rows, []string{c.Label, c.Old, c.New, c.By, c.Word})
	}
	if len(t.rows) == 0 {
		return text + r.Head("nothing") + "\n"
	}
	return text + t.text()
}
