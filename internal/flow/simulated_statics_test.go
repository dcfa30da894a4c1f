package flow_test

import (
	"math"
	"testing"
)

// TestSimulatedStatics compares the simulated outfit with moments worked by
// hand. Vehicle 2,000 kg at 1,200 mm of a wheelbase of 3,000, overhang 1,200;
// trailer 1,500 kg at 300 mm ahead of its axle, drawbar 5,000, nose 4,500:
//
//	alone    rear 2000·1200/3000 = 800, front 1,200; nose 1500·300/4500 = 100
//	coupled  download 1500·300/5000 = 90; rear (2000·1200 + 90·4200)/3000 = 926,
//	         front 2090 − 926 = 1,164, trailer 1,410
//	bars     a couple of 50,000 kg·mm takes 50000/5000 = 10 off the coupling:
//	         rear (2000·1200 + 80·4200 − 50000)/3000 = 895.33, front 2080 − 895.33
func TestSimulatedStatics(t *testing.T) {
	o := &simulatedOutfit{
		wheelbase: 3000, overhang: 1200, drawbar: 5000, nose: 4500, couple: 50000, bars: true, trailerAxles: 1,
		vehicle: []carried{{"", 2000, 1200}}, trailer: []carried{{"", 1500, 300}},
	}
	for state, want := range map[string]axleLoads{
		simVehicleAlone: {front: 1200, rear: 800},
		simTrailerAlone: {trailer: 1400, nose: 100, coupling: 90},
		simSlack:        {front: 1164, rear: 926, trailer: 1410, coupling: 90},
		simTensioned:    {front: 2080 - 895.0 - 1/3.0, rear: 895 + 1/3.0, trailer: 1420, coupling: 80},
	} {
		got := o.loads(state)
		for name, pair := range map[string][2]float64{
			"front": {got.front, want.front}, "rear": {got.rear, want.rear}, "trailer": {got.trailer, want.trailer},
			"nose": {got.nose, want.nose}, "coupling": {got.coupling, want.coupling},
		} {
			if math.Abs(pair[0]-pair[1]) > 1e-9 {
				t.Errorf("%s %s: %.4f kg (want %.4f)", state, name, pair[0], pair[1])
			}
		}
	}
}

// TestSimulatedLimits compares the simulated scale with R 76-1:2006, Table 6:
// 0.5, 1 and 1.5 intervals up to 500, 2,000 and 10,000 intervals on class III,
// up to 50, 200 and 1,000 on class IIII.
func TestSimulatedLimits(t *testing.T) {
	for _, c := range []struct {
		class        string
		loads, wants [4]float64 // in intervals
	}{
		{"III", [4]float64{500, 501, 2000, 2001}, [4]float64{0.5, 1, 1, 1.5}},
		{"IIII", [4]float64{50, 51, 200, 201}, [4]float64{0.5, 1, 1, 1.5}},
	} {
		s := &simulatedScale{class: c.class, unit: "kg", interval: 20}
		for i, load := range c.loads {
			if got := s.mpe(load * 20); got != c.wants[i]*20 {
				t.Errorf("class %s, %.0f intervals: %.0f kg (want %.0f)", c.class, load, got, c.wants[i]*20)
			}
		}
	}
}
