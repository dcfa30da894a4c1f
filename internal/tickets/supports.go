package tickets

// Axles is the number of axles of a group as the outfit states it; 0 where it
// does not. A front axle, and what is no axle, is one.
func (o *Outfit) Axles(g Group) int {
	switch g {
	case Rear:
		return o.RearAxles
	case Trailer:
		return o.TrailerAxles
	}
	return 1
}

// Weighers is k, the number of weighers under supports: on pads two an axle,
// one for a side of an axle, one for the nose or the coupling; a group whose
// axles are not counted is taken as one axle. Any other deck is one weigher.
func (o *Outfit) Weighers(s *Scale, supports []Term) int {
	if !s.Pads {
		return 1
	}
	k := 0
	for _, t := range supports {
		k += o.weighersUnder(t)
	}
	return max(k, 1)
}

func (o *Outfit) weighersUnder(t Term) int {
	if t.Group == Nose || t.Group == Coupling {
		return 1
	}
	axles := 1
	if t.Axle == 0 {
		axles = max(o.Axles(t.Group), 1)
	}
	if t.Side == "" {
		return 2 * axles
	}
	return axles
}
