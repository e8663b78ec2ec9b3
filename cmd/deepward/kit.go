package main

import (
	"fmt"
	"strings"

	"deepward/advisor"
	"deepward/bot/understand"
	"deepward/bot/words"
)

// kitCmd says which release weights to carry for a trip.
type kitCmd struct {
	Depth    string `help:"The greatest depth you will fish, for example 80m or 260ft." required:""`
	To       string `help:"The heaviest fish you expect, for example 10kg or 22lb." required:""`
	Region   string `help:"Where you fish: reckons with the fish of that region only."`
	Imperial bool   `help:"Write feet and pounds."`
}

func (kitCmd) Help() string { return `Example: deepward kit --depth 80m --to 10kg` }

func (c kitCmd) Run(e env) error {
	m := understand.NewReader().Understand(c.Depth+" "+c.To, understand.Setting{})
	if m.Query.DepthM == nil || m.Query.WeightKg == nil {
		return usage("write the depth as 80m and the fish as 10kg, each with its unit")
	}
	species, err := speciesIn(c.Region)
	if err != nil {
		return err
	}
	k := advisor.KitFor(*m.Query.DepthM, *m.Query.WeightKg, species)
	_, err = fmt.Fprintln(e.out, kitText(words.For("en", c.Imperial), k))
	return err
}

func speciesIn(region string) ([]*advisor.Species, error) {
	name, err := regionNamed(region)
	if name == "" || err != nil {
		return nil, err
	}
	return advisor.SpeciesIn(name), nil
}

// kitText words a kit: the weights first, then what each is for, then where it
// stays short and what to do there.
func kitText(v words.Voice, k advisor.Kit) string {
	weights := make([]string, len(k.WeightsOz))
	for i, oz := range k.WeightsOz {
		weights[i] = v.Ounces(oz)
	}
	lines := []string{
		"CARRY: " + strings.Join(weights, ", "),
		fmt.Sprintf("For fish to %s from %s: enough, with a margin of a fifth, in %d of %d cases tried.", v.Mass(k.MaxWeightKg), v.Depth(k.MaxDepthM), k.Covered, k.Cases),
	}
	for _, u := range k.Uses {
		lines = append(lines, fmt.Sprintf("  %s: in %s of cases, fish to %s", v.OuncesTogether(u.WeightsOz), v.Percent(u.Share), v.Mass(u.ToKg)))
	}
	for _, s := range k.Short {
		line := fmt.Sprintf("Short for %s from %s up at that depth: %s wanted, %s carried", v.Say("kind."+s.Kind), v.Mass(s.FromKg), v.Ounces(s.NeededOz), v.Ounces(s.CarriedOz))
		if s.PushDownM > 0 {
			line += fmt.Sprintf("; push the fish to %s first", v.Depth(s.PushDownM))
		} else {
			line += "; push it under first"
		}
		lines = append(lines, line+".")
	}
	return strings.Join(append(lines, "Common practice, no source: "+v.Ounces(k.PracticeOz)+" at most. Local rules on gear come first."), "\n")
}
