package wood_test

import (
	"regexp"
	"sort"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/wood"
)

func TestFindByEveryName(t *testing.T) {
	for name, id := range map[string]string{
		"sugar-maple": "sugar-maple", "Sugar Maple": "sugar-maple", "SUGARMAPLE": "sugar-maple", "maple, sugar": "sugar-maple", "maple-sugar": "sugar-maple",
		"Maple, sugar (hard maple)": "sugar-maple", "hard maple": "sugar-maple", "Acer saccharum": "sugar-maple", "acer_saccharum": "sugar-maple",
		"Brazilian cherry": "jatoba", "zebrano": "zebrawood", "Juglans nigra": "black-walnut", "red oak": "northern-red-oak", "padauk": "african-padauk",
		"khaya": "african-mahogany", "Purpleheart": "purpleheart", "Douglas-fir, coast": "coast-douglas-fir", "tulipwood": "yellow-poplar",
	} {
		s, err := wood.Find(name)
		if assert.NoError(t, err, name) {
			assert.Equal(t, id, s.ID, name)
		}
	}
	for _, s := range wood.All() {
		for _, name := range append([]string{s.ID, s.CommonName, s.PrintedName}, s.Aliases...) {
			got, err := wood.Find(name)
			require.NoError(t, err, name)
			assert.Equal(t, s.ID, got.ID, name)
		}
	}
}

// A slip of the key leads to the name; a word that is near nothing leads nowhere.
func TestUnknownNamesGetTheNearest(t *testing.T) {
	for name, near := range map[string]string{"black-walnit": "black-walnut", "sugra maple": "sugar-maple", "purple hart wood": "purpleheart", "chery": "cherry", "mapel": "maple", "walnutt": "walnut"} {
		_, err := wood.Find(name)
		var f fault.Fault
		require.ErrorAs(t, err, &f, name)
		assert.Equal(t, fault.UnknownName, f.Rule)
		assert.Equal(t, name, f.Found)
		assert.Contains(t, f.Nearest, near, name)
		for _, n := range f.Nearest {
			_, err := wood.Find(n)
			assert.NoError(t, err, "every suggestion can be used: %s", n)
		}
	}
	assert.Equal(t, []string{"teak"}, wood.Nearest("taek", 1), "a swap of neighbours is one edit")
	for _, name := range []string{"", "xyzzy", "plywood", "ply", strings.Repeat("walnut ", 1000)} {
		assert.Empty(t, wood.Nearest(name, 5), name)
	}
	assert.Empty(t, wood.Nearest("maple", 0))
}

func TestIncompleteWoodsAreRefusedWithTheReason(t *testing.T) {
	var ids []string
	for _, s := range wood.Incomplete() {
		ids = append(ids, s.ID)
		assert.NotEmpty(t, s.Missing)
		_, err := wood.Find(s.CommonName)
		var f fault.Fault
		require.ErrorAs(t, err, &f, s.ID)
		assert.Equal(t, fault.MissingData, f.Rule)
		assert.Regexp(t, "shrinkage|density", f.Detail)
		assert.NotContains(t, f.Nearest, s.ID)
		assert.False(t, s.FractureEnergy(0).Known)
	}
	assert.Subset(t, ids, []string{"california-black-oak", "cherrybark-oak", "gray-birch", "oregon-white-oak", "osage-orange", "swamp-white-oak", "koa", "bamboo"})
	assert.Len(t, ids, 40)
	_, err := wood.Find("Osage orange")
	assert.ErrorContains(t, err, "9.2 %")
}

func TestEveryWoodIsFitToShow(t *testing.T) {
	all := wood.All()
	assert.Len(t, all, 250)
	assert.True(t, sort.SliceIsSorted(all, func(i, j int) bool { return all[i].ID < all[j].ID }))
	hex := regexp.MustCompile(`^#[0-9a-f]{6}$`)
	groups := []string{"pale", "tan", "red-brown", "brown", "dark", "yellow", "purple", "orange"}
	for _, s := range all {
		assert.Regexp(t, hex, s.Colour, s.ID)
		assert.Contains(t, groups, s.ColourGroup, s.ID)
		assert.Contains(t, []string{"", "easily", "well", "satisfactorily", "with-difficulty"}, s.Bonding, s.ID)
		assert.Contains(t, []string{"", "ring-porous", "semi-ring-porous", "diffuse-porous"}, s.Porosity, s.ID)
		assert.Contains(t, []string{"domestic", "imported"}, s.Origin, s.ID)
		assert.NotEmpty(t, s.ScientificName, s.ID)
		assert.True(t, s.SG12.Known && s.SGBasic.Known, s.ID)
		assert.Less(t, s.ShrinkR.V, s.ShrinkT.V, s.ID)
	}
}

// The woods of patterned boards must differ in a picture: at least 30 apart in the
// plain distance of red, green and blue.
func TestBoardWoodsDifferInColour(t *testing.T) {
	ids := []string{"sugar-maple", "black-walnut", "black-cherry", "white-oak", "african-padauk", "purpleheart", "wenge", "yellowheart"}
	for i, a := range ids {
		for _, b := range ids[i+1:] {
			assert.Greater(t, distance(find(t, a).Colour, find(t, b).Colour), 30.0, "%s and %s", a, b)
		}
	}
}
