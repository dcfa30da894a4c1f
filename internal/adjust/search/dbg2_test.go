package search

import (
	"fmt"
	"testing"
)

func TestOne(t *testing.T) {
	for _, seed := range []uint64{4, 30, 46} {
		p := outfit(seed, 40)
		m := newModel(p)
		fmt.Println(seed)
		for _, r := range p.Rows {
			fmt.Print(r.Limit, " ")
		}
		fmt.Println("rows", m.rows, "places", m.places, "cols", len(m.cols), "q", m.quantum)
		tk := task{aim: aimLeft}
		if seed == 4 {
			tk = task{aim: aimMoved, left: upTo(0)}
		}
		pr := m.build(tk)
		tt := newTableau(pr)
		fmt.Println(tt.optimise())
		b, _ := pr.least(pr.cost, tt.prices(), tt.lo, tt.hi)
		fmt.Println(b, len(pr.b))
		pr.strengthen()
		tt = newTableau(pr)
		fmt.Println(tt.optimise())
		b, _ = pr.least(pr.cost, tt.prices(), tt.lo, tt.hi)
		fmt.Println("cuts", b, len(pr.b))
		for j := range m.cols {
			if v := tt.at(j); v != 0 {
				c := m.cols[j]
				fmt.Println(j, c, v, tt.hi[j], "from", m.item(j).From, "to", m.option(j).Place)
				for r := range p.Rows {
					fmt.Printf("%.3f ", m.option(j).Coef[r])
				}
				fmt.Println()
			}
		}
		for i, y := range tt.prices() {
			if y != 0 {
				fmt.Println("  row", i, y)
			}
		}
	}
}
