// Command main sends a board with the client that oapi-codegen made of the
// contract and looks at the answer.
package main

import (
	"context"
	"fmt"
	"log"
	"os"
)

func must[T any](v T, err error) T {
	if err != nil {
		log.Fatal(err)
	}
	return v
}

func length(v float64) (l BoardLength) {
	if err := l.FromPlainLength(v); err != nil {
		log.Fatal(err)
	}
	return l
}

func main() {
	ctx := context.Background()
	c := must(NewClientWithResponses(os.Args[1]))
	var ring, other BoardRing
	if err := ring.FromDegrees(0); err != nil {
		log.Fatal(err)
	}
	if err := other.FromDegrees(90); err != nil {
		log.Fatal(err)
	}
	var row BoardRow
	if err := row.FromRowLetters("MW"); err != nil {
		log.Fatal(err)
	}
	block := BoardPair{length(40), length(40)}
	board := Board{Tanrad: 1, Units: BoardUnitsMm, Thickness: length(38),
		Stock: map[string]BoardStock{"M": {Species: "sugar-maple", RingAngle: &ring}, "W": {Species: "black-walnut", RingAngle: &other}},
	}
	board.Field.Grid = &BoardGrid{Block: &block, Rows: []BoardRow{row, row}}
	none, no := OfExposures{"none"}, false
	r := must(c.BoardWithResponse(ctx, &BoardParams{Exposures: &none, Cracks: &no, Chance: &no}, board))
	if r.JSON200 == nil {
		log.Fatalf("%s: %s", r.Status(), r.Body)
	}
	if r.JSON200.Utilisation <= 0 || len(r.JSON200.Joints) != 4 || r.JSON200.Made.Data == "" {
		log.Fatalf("an odd answer: %+v", r.JSON200)
	}
	woods := must(c.ListSpeciesWithResponse(ctx, nil))
	if woods.JSON200 == nil || woods.JSON200.Total < 100 {
		log.Fatalf("woods: %s", woods.Status())
	}
	wrong := must(c.GetEMCWithResponse(ctx, &GetEMCParams{Temperature: 500}))
	if wrong.ApplicationproblemJSON422 == nil || (*wrong.ApplicationproblemJSON422.Errors)[0].Detail == "" {
		log.Fatalf("a fault that has no entry: %s", wrong.Body)
	}
	fmt.Println("Go:", r.JSON200.Verdict, r.JSON200.Utilisation)
}
