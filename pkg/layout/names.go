package layout

import (
	"strings"

	"github.com/tanrad/tanrad/pkg/wood"
)

// Glues lists the classes of adhesive a board file may name.
func Glues() []string {
	return []string{
		"animal-glue", "casein", "emulsion-polymer-isocyanate", "epoxy", "phenol-resorcinol",
		"polyurethane", "pva", "pva-crosslinking", "urea-formaldehyde",
	}
}

func findSpecies(name string) (string, error) {
	s, err := wood.Find(name)
	if err != nil {
		return "", err
	}
	return s.ID, nil
}

func joined(words []string) string { return strings.Join(words, ", ") }

func finishes() []string { return []string{"none", "mineral-oil-wax"} }

func climates() []string { return []string{"continental-heated"} }
