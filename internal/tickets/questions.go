package tickets

import "slices"

// questions are the codes that a line may confirm: what is asked of a reading
// or a rating, and a sum that does not come out.
var questions = []string{
	"axle_light", "not_uncoupled", "share_high", "not_a_multiple", "left_out_disagrees", "with_everywhere",
	"bars_unknown", "bars_not_stated",
	"rating_small", "axles_below_gvm", "axles_far_above_gvm", "axle_above_gvm", "gvm_far_above", "gcm_below_gvm",
	"gcm_above_sum", "gtm_above_atm", "atm_far_above", "download_far_above", "axle_each",
	"does_not_add_up",
}

// confirmed reads the codes of questions that were looked into and found right.
func (c cell) confirmed() []string {
	if c.blank() {
		return nil
	}
	codes := c.names()
	for _, code := range codes {
		if !slices.Contains(questions, code) {
			c.refuse(c.with(code)+" is not a question", "the code of a question that was asked", "the nearest code is "+quote(nearest(code, questions)))
		}
	}
	return codes
}
