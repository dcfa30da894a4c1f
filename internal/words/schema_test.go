package words

import (
	"encoding/json"
	"os"
	"sync"
)

// code is a code of a record with its arguments, in the order of the schema.
type code struct {
	Code string
	Args []string
}

// codes are those of schema.json, by the key of a record that lists them.
var codes = sync.OnceValue(func() map[string][]code {
	type enum struct{ Enum []string }
	type names struct{ PropertyNames enum }
	var schema struct {
		Defs map[string]struct {
			OneOf []struct {
				names
				Properties struct {
					Code struct{ Const string }
					Args *struct {
						names
						AnyOf []names
					}
				}
			}
			Properties map[string]struct {
				enum
				Items enum
			}
		} `json:"$defs"`
	}
	b, err := os.ReadFile("../record/schema.json")
	if err == nil {
		err = json.Unmarshal(b, &schema)
	}
	if err != nil {
		panic(err)
	}
	all := map[string][]code{}
	for key, def := range map[string]string{"do": "Do", "questions": "Question", "cannot_be": "CannotBe", "footnotes": "Footnote", "cautions": "Caution"} {
		for _, one := range schema.Defs[def].OneOf {
			c := code{Code: one.Properties.Code.Const}
			if args := one.Properties.Args; args != nil {
				c.Args = args.PropertyNames.Enum
				for _, any := range args.AnyOf { // null, or these
					c.Args = append(c.Args, any.PropertyNames.Enum...)
				}
			} else if own := one.PropertyNames.Enum; len(own) > 2 { // code, line, arguments
				c.Args = own[2:]
			}
			all[key] = append(all[key], c)
		}
	}
	for _, kind := range schema.Defs["Mistake"].Properties["kind"].Enum {
		all["mistakes"] = append(all["mistakes"], code{Code: kind})
	}
	for _, assumed := range schema.Defs["Check"].Properties["assumed"].Items.Enum {
		all["assumed"] = append(all["assumed"], code{Code: assumed})
	}
	return all
})
