package shelf

import "testing"

// Lists do not overlap, whatever is asked for in whatever order, and stay what they
// are when the shelf needs more room.
func TestListsAreApart(t *testing.T) {
	var s Shelf[int]
	var lists [][]int
	for n := range 40 {
		list := s.List(n)
		if len(list) != n || cap(list) != n {
			t.Fatalf("length %d, capacity %d (want %d)", len(list), cap(list), n)
		}
		for i := range list {
			if list[i] != 0 {
				t.Fatalf("list %d begins with %d at %d (want 0)", n, list[i], i)
			}
			list[i] = n
		}
		lists = append(lists, append(list, -1)[:n]) // what is added goes elsewhere
	}
	for n, list := range lists {
		for i, v := range list {
			if v != n {
				t.Errorf("list %d holds %d at %d", n, v, i)
			}
		}
	}
}

// What was lent is lent again, empty, without new memory.
func TestClear(t *testing.T) {
	var s Shelf[*int]
	use := func() {
		v := 7
		for n := range 9 {
			for i, p := range s.List(n) {
				if p != nil {
					t.Fatalf("list %d holds something at %d", n, i)
				}
			}
		}
		for i := range 30 {
			if p := s.Of(&v); *p != &v {
				t.Fatalf("place %d does not hold what was put there", i)
			}
		}
		list := s.List(3)
		list[0], list[2] = &v, &v
		s.Clear()
	}
	for range 4 { // the first rounds find out how much room it takes
		use()
	}
	before := &s.room[0]
	use()
	if before != &s.room[0] {
		t.Error("a job like the one before made new room")
	}
	for i, p := range s.room {
		if p != nil {
			t.Errorf("place %d keeps something alive", i)
		}
	}
}

// value has memory lent.
type value struct {
	text string
	Lent[value]
}

// What was lent is taken back once, of the value that it was lent to and of no copy.
func TestLentOnce(t *testing.T) {
	taken := 0
	back := func(v *value) {
		taken++
		*v = value{}
	}
	v := &value{text: "first"}
	v.Release() // nothing is lent yet
	Lend(&v.Lent, v, back)
	copied := *v
	copied.Release()
	if taken != 0 || v.text != "first" || copied.text != "first" {
		t.Fatalf("a copy gave the memory away: %+v", v)
	}
	v.Release()
	v.Release()
	copied.Release()
	if taken != 1 || v.text != "" || copied.text != "first" {
		t.Errorf("taken back %d times (want 1), of %+v, not of %+v", taken, v, copied)
	}
}
