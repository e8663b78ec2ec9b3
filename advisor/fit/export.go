package fit

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"strconv"

	"deepward/advisor"
)

// Export writes the posterior as the file that package advisor embeds. Effects of
// studies are left out, for a question asked tomorrow comes from none of them;
// so are effects that no finding bears on, which keep their spread.
func (p *Posterior) Export() ([]byte, error) {
	keep, names := p.exported()
	f := advisor.Fitted{
		About: "Laplace approximation to the posterior of the survival model: modes and covariance. " +
			"Written by go generate from evidence.csv and fit/priors.csv; do not edit.",
		To: p.fittedTo(),
		Spread: advisor.FittedSpread{KinBarotrauma: round(p.Spread.KinBarotrauma), SpeciesBarotrauma: round(p.Spread.SpeciesBarotrauma), SpeciesSlope: round(p.Spread.SpeciesSlope), KinFloat: round(p.Spread.KinFloat), SpeciesFloat: round(p.Spread.SpeciesFloat),
			Study: round(p.Spread.Study), StudyAhead: round(p.Spread.Study * Widening),
			StudyFloat: round(p.Spread.StudyFloat), StudyFloatAhead: round(p.Spread.StudyFloat * FloatWidening)},
		Names: names,
	}
	for i, a := range keep {
		f.Means = append(f.Means, round(p.Mean[a]))
		row := make([]float64, i+1)
		for j, b := range keep[:i+1] {
			row[j] = round(p.Cov.At(a, b))
		}
		f.Covariance = append(f.Covariance, row)
	}
	return encode(f)
}

// encode puts each row of the covariance on a line of its own, so that a change
// of the fit can be read in a diff.
func encode(f advisor.Fitted) ([]byte, error) {
	rows := f.Covariance
	f.Covariance = nil
	text, err := json.MarshalIndent(f, "", " ")
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	b.Write(bytes.Replace(text, []byte(`"covariance": null`), []byte(`"covariance": [`), 1))
	b.Truncate(b.Len() - len("\n}"))
	for i, row := range rows {
		line, err := json.Marshal(row)
		if err != nil {
			return nil, err
		}
		fmt.Fprintf(&b, "\n  %s", line)
		if i < len(rows)-1 {
			b.WriteByte(',')
		}
	}
	b.WriteString("\n ]\n}\n")
	return b.Bytes(), nil
}

// round keeps four significant digits: more would be noise, and would differ from
// one machine to the next.
func round(x float64) float64 {
	if x == 0 || math.Abs(x) < 1e-6 {
		return 0
	}
	y, _ := strconv.ParseFloat(strconv.FormatFloat(x, 'g', 4, 64), 64)
	return y
}

func (p *Posterior) fittedTo() advisor.FittedTo {
	to := advisor.FittedTo{Findings: len(p.Data.Rows), Pairs: len(p.Data.Pairs), Studies: len(p.Data.Studies)}
	fish, dives := 0.0, 0.0
	for _, r := range p.Data.Rows {
		to.IDs = append(to.IDs, r.ID)
		if r.Proxy {
			dives += r.N
		} else {
			fish += r.N
		}
	}
	for _, pair := range p.Data.Pairs {
		to.IDs = append(to.IDs, pair.ID)
	}
	to.Fish, to.Dives = int(math.Round(fish)), int(math.Round(dives))
	return to
}

// exported lists the parameters that go into the file, and their names.
func (p *Posterior) exported() (keep []int, names []string) {
	add := func(at int, name string) { keep, names = append(keep, at), append(names, name) }
	for i, pr := range Priors() {
		add(i, pr.Trait)
	}
	dead, floats := p.touched()
	l := p.layout
	for i, kin := range p.Data.Kin {
		add(l.kinBaro+i, advisor.KinEffect(kin, "barotrauma"))
		add(l.kinFloat+i, advisor.KinEffect(kin, "float"))
	}
	for i, species := range p.Data.Species {
		if dead[i] {
			add(l.spBaro+i, advisor.SpeciesEffect(species, "barotrauma"))
			add(l.spSlope+i, advisor.SpeciesEffect(species, "slope"))
		}
		if floats[i] {
			add(l.spFloat+i, advisor.SpeciesEffect(species, "float"))
		}
	}
	return keep, names
}

// touched says of each species whether a finding bears on its barotrauma, and
// whether one bears on its submerging.
func (p *Posterior) touched() (dead, floats []bool) {
	dead, floats = make([]bool, len(p.Data.Species)), make([]bool, len(p.Data.Species))
	touch := func(r Row) {
		for _, c := range r.cells {
			s := p.Data.kinds[c.kind].species
			dead[s] = dead[s] || !r.Proxy && c.exposure.Barotrauma
			floats[s] = floats[s] || c.exposure.Float > 0
		}
	}
	for _, r := range p.Data.Rows {
		touch(r)
	}
	for _, pair := range p.Data.Pairs {
		touch(pair.top)
	}
	return dead, floats
}
