package tanrad

import (
	"context"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/pkg/adhesive"
	"github.com/tanrad/tanrad/pkg/advice"
	"github.com/tanrad/tanrad/pkg/arrange"
	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/deck"
	"github.com/tanrad/tanrad/pkg/diagnose"
	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/moisture"
	"github.com/tanrad/tanrad/pkg/movement"
	"github.com/tanrad/tanrad/pkg/outline"
	"github.com/tanrad/tanrad/pkg/pair"
	"github.com/tanrad/tanrad/pkg/picture"
	"github.com/tanrad/tanrad/pkg/plan"
	"github.com/tanrad/tanrad/pkg/quantity"
	"github.com/tanrad/tanrad/pkg/raster"
	"github.com/tanrad/tanrad/pkg/teach"
	"github.com/tanrad/tanrad/pkg/window"
	"github.com/tanrad/tanrad/pkg/wood"
)

// Whatever a caller of the library can mend is told as a fault.List, its pointers
// relative to what the function was given: "" where that is a single word or number,
// else below the name of the argument, or within the one that tells most.
func TestWhatACallerCanMendIsAFault(t *testing.T) {
	ctx := t.Context()
	f, l := layout.Parse([]byte(`{"tanrad":1,"units":"mm","thickness":30,"stock":{"M":{"species":"sugar-maple","ring_angle":0,"moisture":8}},"field":{"grid":{"block":[30,30],"rows":["MM"]}}}`))
	require.Empty(t, l)
	b, l := f.Board()
	require.Empty(t, l)
	lame := f.Clone()
	lame.Glue = "spit"
	bad := check.Conditions{Moistures: []float64{99}, NoHistories: true}
	maple, err := wood.Find("sugar-maple")
	require.NoError(t, err)
	hollow := moisture.Column{Species: maple, Thickness: -1}
	none := moisture.Column{Thickness: 30, M0: 8}
	air, vacuum := moisture.Room{Humidity: 40, Temperature: 20}, moisture.Room{Humidity: 140, Temperature: 20}
	still := []moisture.Phase{{Hours: 1, Top: moisture.Face{Kind: moisture.Air, Room: air}, Bottom: moisture.Face{Kind: moisture.Air, Room: air}}}
	last := func(_ any, err error) error { return err }
	of := func(l fault.List) error { return l.Err() }
	silent := moisture.Event{Name: "sink-soke"}
	for name, c := range map[string]struct {
		err     error
		pointer string
	}{
		"adhesive.Find":              {last(adhesive.Find("spit")), ""},
		"advice.Moves":               {last(advice.Moves(ctx, f, bad, advice.Options{})), "/moistures/0"},
		"advice.Moves, a wood":       {last(advice.Moves(ctx, f, check.Conditions{}, advice.Options{Have: []string{"mapel"}})), "/have/0"},
		"advice.Moves, a glue-up":    {last(advice.Moves(ctx, f, check.Conditions{}, advice.Options{Glued: []string{"b9"}})), "/glued"},
		"arrange.Shop":               {last(arrange.Shop([]string{"mapel"})), "/0"},
		"arrange.Improve":            {last(arrange.Improve(ctx, lame, check.Conditions{}, arrange.Options{})), "/glue"},
		"arrange.Improve, options":   {last(arrange.Improve(ctx, f, check.Conditions{}, arrange.Options{Rounds: 1 << 20})), "/rounds"},
		"arrange.Improve, a wood":    {last(arrange.Improve(ctx, f, check.Conditions{}, arrange.Options{FreeSpecies: true, Have: []string{"mapel"}})), "/have/0"},
		"arrange.Improve, a glue-up": {last(arrange.Improve(ctx, f, check.Conditions{}, arrange.Options{Glued: []string{"b9"}})), "/glued"},
		"arrange.Rests":              {last(arrange.Rests(ctx, f, check.Conditions{}, []string{"b9"})), "/glued"},
		"arrange.Unglued":            {of(arrange.Unglued(b, []string{"b9"})), "/glued"},
		"check.Board":                {last(check.Board(ctx, b, bad)), "/moistures/0"},
		"check.FigureOf":             {last(check.FigureOf(ctx, b, bad)), "/moistures/0"},
		"check.ClimateOf":            {last(check.Conditions{}.ClimateOf(&layout.Board{Home: layout.Home{Name: "mars"}})), "/home"},
		"deck.Shift":                 {last(deck.Shift(b, -20)), "/change"},
		"diagnose.Board":             {last(diagnose.Board(ctx, f, diagnose.Observation{Joint: "r9c9|r9c8"}, diagnose.Options{})), "/joint"},
		"diagnose.Board, home":       {last(diagnose.Board(ctx, f, diagnose.Observation{}, diagnose.Options{Home: "mars"})), "/home"},
		"diagnose.Faults":            {of((&diagnose.Observation{Month: 13}).Faults()), "/month"},
		"layout.Read":                {last(layout.Read([]byte(`{}`))), "/tanrad"},
		"layout.Board":               {of(second(lame.Board())), "/glue"},
		"moisture.EMC":               {last(moisture.EMC(20, 140)), "/humidity"},
		"moisture.Humidity":          {last(moisture.Humidity(20, 90)), "/mc"},
		"moisture.Room.EMC":          {last(vacuum.EMC()), "/humidity"},
		"moisture.Room.Faults":       {of(vacuum.Faults("/air")), "/air/humidity"},
		"moisture.FindClimate":       {last(moisture.FindClimate("mars")), ""},
		"moisture.FindExposure":      {last(moisture.FindExposure("sink-soke")), ""},
		"moisture.FindFinish":        {last(moisture.FindFinish("varnisch")), ""},
		"moisture.FromMonths":        {last(moisture.FromMonths(make([]moisture.Room, 3), "/months")), "/months"},
		"moisture.Event.Check":       {of(silent.Check()), "/name"},
		"moisture.Event.Several":     {of(second(silent.Several())), "/name"},
		"moisture.Expand":            {last(moisture.Expand(silent, moisture.Setting{})), "/name"},
		"moisture.StartMoisture":     {last(moisture.StartMoisture(silent, moisture.Setting{}, 8)), "/name"},
		"moisture.Patch.Within":      {of(moisture.Patch{Centre: [2]float64{9, 9}, Radius: 90}.Within(60, 30)), "/centre/0"},
		"moisture.Simulate":          {last(moisture.Simulate(ctx, hollow, still, moisture.Options{})), "/thickness"},
		"moisture.Simulate, phases":  {last(moisture.Simulate(ctx, moisture.Column{Species: maple, Thickness: 30, M0: 8}, []moisture.Phase{{Hours: math.NaN()}}, moisture.Options{})), "/phases/0/hours"},
		"moisture.Settle":            {last(moisture.Settle(ctx, none, air, 1)), "/species"},
		"moisture.SettleStick":       {last(second3(moisture.SettleStick(ctx, none, 30, air, 1))), "/species"},
		"moisture.ResponseTimes":     {last(second3(moisture.ResponseTimes(ctx, hollow, 40, 60, 20))), "/thickness"},
		"moisture.DrinkTime":         {last(none.DrinkTime(1, 1)), "/species"},
		"moisture.Slab":              {last(second3(none.Slab(air))), "/species"},
		"movement.RingAngle":         {last(movement.RingAngle("sideways")), ""},
		"movement.Change":            {last(movement.Change(movement.Request{Species: "sugar-maple", Size: -1})), "/size"},
		"outline.Read":               {of(second(outline.Read([]byte(`<svg/>`), outline.Options{Units: "ell"}))), "/units"},
		"outline.Check":              {of((&outline.Options{Units: "ell"}).Check()), "/units"},
		"pair.Read":                  {last(pair.Read([]byte(`{"a": 3}`))), "/a"},
		"pair.Pair":                  {last(pair.Pair(ctx, pair.Request{A: pair.Piece{Species: "mapel"}, B: pair.Piece{Species: "teak"}, From: 8, To: 9})), "/a/species"},
		"picture.Draw":               {last(picture.Draw(ctx, b, check.Conditions{}, picture.Options{View: "inside-out"})), "/view"},
		"picture.Woods":              {last(picture.Woods([]*wood.Species{maple}, vacuum, air, 0)), "/from/humidity"},
		"plan.Make":                  {last(plan.Make(ctx, f, plan.Shop{Month: 13}, check.Conditions{})), "/shop/month"},
		"plan.Faults":                {of((&plan.Shop{Month: 13}).Faults(b)), "/month"},
		"quantity.ParseLength":       {last(quantity.ParseLength("one inch", quantity.Millimetre)), ""},
		"raster.PNG":                 {last(raster.PNG(ctx, []byte(`<svg/>`), -3)), "/width"},
		"teach.Work":                 {last(teach.Work(ctx, "alchemy")), ""},
		"window.Of":                  {last(window.Of(ctx, lame, check.Conditions{})), "/glue"},
		"wood.Find":                  {last(wood.Find("mapel")), ""},
		"wood.FindIn":                {last(wood.FindIn("mapel", wood.Anywhere)), ""},
	} {
		l := fault.Of(c.err)
		if assert.NotEmpty(t, l, "%s: %v", name, c.err) {
			assert.Equal(t, c.pointer, l[0].Pointer, "%s: %v", name, l)
			assert.NotEmpty(t, l[0].Detail, name)
			assert.False(t, strings.HasSuffix(l[0].Detail, "."), name)
		}
	}
	gone, cancel := context.WithCancel(ctx)
	cancel()
	_, err = check.Board(gone, b, check.Conditions{})
	assert.ErrorIs(t, err, context.Canceled)
	assert.Empty(t, fault.Of(err), "what nobody can mend is no fault")
}

func second[A, B any](_ A, b B) B { return b }

func second3[A, B any](a A, _ B, err error) (A, error) { return a, err }
