package tickets

import (
	"math/rand/v2"
	"reflect"
	"testing"

	"github.com/shopspring/decimal"
)

// A job is the same whatever was read into its memory before, and stays what it is
// while others are read: what is released holds what no job holds.
func TestJobsInUsedMemory(t *testing.T) {
	const folders = 150
	read := 0
	var kept, as []Job // that nobody releases, and as they were
	for seed := range uint64(folders) {
		r := Read(randomForms(rand.New(rand.NewPCG(seed, 9))), Options{NeedTickets: true, Region: "au", CopySize: onlyPhoto})
		for i := range r.Names {
			job, _ := r.Job(i)
			if job == nil {
				continue
			}
			fresh := (&desk{}).begin(r, i, &memory{})
			fresh.read()
			if want := bare(fresh.job); !reflect.DeepEqual(bare(job), want) {
				t.Fatalf("folder %d: job %q in used memory is\n%+v\nwant\n%+v", seed, job.Name, bare(job), want)
			}
			if read++; read%5 == 0 {
				kept, as = append(kept, bare(job)), append(as, bare(fresh.job))
				continue
			}
			spoil(job)
			job.Release()
			job.Release() // once more gives nothing
		}
	}
	if read < folders/2 || len(kept) == 0 || !reflect.DeepEqual(kept, as) {
		t.Errorf("%d jobs read (want %d or more); those not released changed: %v", read, folders/2, !reflect.DeepEqual(kept, as))
	}
}

// A copy of a job gives away nothing of it, also where the copy was changed.
func TestReleaseOfACopiedJob(t *testing.T) {
	r := Read(formsOf("-- tickets.csv --\nticket,setup,on_deck,reading\n1,vehicle_alone,vehicle,3240\n"), Options{NeedTickets: true})
	job, _ := r.Job(0)
	copied := *job
	copied.Release()
	if len(job.Readings) != 1 || job.Readings[0].Typed != "3240" || job.memory == nil {
		t.Errorf("a released copy leaves %+v", bare(job))
	}
	copied = *job
	job.Release()
	other, _ := r.Job(0) // mostly in the memory that was released
	copied.Release()
	if len(other.Readings) != 1 || other.Readings[0].Typed != "3240" {
		t.Errorf("a copy of a released job leaves of another %+v", bare(other))
	}
}

// spoil fills the lists of a job with what no job holds.
func spoil(j *Job) {
	wrong := decimal.NewFromInt(-7)
	for i := range j.Readings {
		r := &j.Readings[i]
		for k := range r.Terms {
			r.Terms[k] = Term{"roof", -1, "up"}
		}
		if r.People != nil {
			*r.People = -1
		}
		*r = Reading{Line: -1, Kg: wrong, IntervalKg: wrong, Used: true, Calculated: true, Terms: r.Terms[:0], Without: []string{"nobody"}}
	}
	for i := range j.Ratings {
		j.Ratings[i] = Rating{Line: -1, Word: "none", Fitted: 99, LimitKg: decimal.NewNullDecimal(wrong)}
	}
	for i := range j.Loads {
		j.Loads[i] = Load{Line: -1, Kg: wrong}
	}
	for i := range j.Places {
		j.Places[i] = Place{Line: -1}
	}
	for i := range j.Scales {
		j.Scales[i] = Scale{Name: "broken", Line: -1}
	}
	for i := range j.Notes {
		j.Notes[i].Code = "nothing"
	}
	for i, in := range j.Inputs {
		if in.Lines != nil { // of this job alone
			clear(in.Bytes)
		}
		j.Inputs[i] = input{File: "none"}
	}
	for i := range j.Copies {
		j.Copies[i] = "none"
	}
}
