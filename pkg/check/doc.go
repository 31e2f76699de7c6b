// Package check is the front door for one board: from a board read by package
// layout to the complete Report. It wires the rooms together and writes down what
// they find in a maker's words; it holds no physics of its own.
//
//	b, err := layout.Read(src)
//	r, err := check.Board(ctx, b, check.Conditions{})
//	fmt.Println(r.Headline)
//
// What is judged: every glue line and the wood of every piece, settled in the
// driest and in the dampest month of the board's home and in every air, moisture
// and change of moisture that the conditions add; and every glue line over the
// time of every exposure. The word is that of the worst of all.
//
// Answers do not depend on what was asked before or beside: equal boards under
// equal conditions give equal reports, byte for byte in JSON.
package check
