// Package tanrad tells a maker whether a board glued from pieces of different
// woods will hold, where and when it fails, why, and what to change.
//
// This root package is only the map, and holds the contract of the service. The
// name is short for tangential/radial: wood moves about twice as much along its
// growth rings as across them, and that difference is what breaks boards.
//
//	question                                         package
//	which woods are known, and how strong are they?  pkg/wood
//	what does the air of a room make of wood?        pkg/moisture
//	how much does one piece move?                    pkg/movement
//	which glue takes water, and how dry a wood?      pkg/adhesive
//	do these two go together along one joint?        pkg/pair
//	what does a board file say?                      pkg/layout
//	will this board hold?                            pkg/check
//	which blocks should I turn?                      pkg/arrange
//	what else would help?                            pkg/advice
//	how far may I go?                                pkg/window
//	it has cracked: why?                             pkg/diagnose
//	what does it look like?                          pkg/picture
//	how do I say it in plain text?                   pkg/report
//	what should I mind in the shop?                  pkg/safety
//	what may be wrong with an input?                 pkg/fault
//	does an outside program agree?                   pkg/deck
//	how do I ask over HTTP?                          api, openapi.yaml
//	how do I ask from a shell?                       cmd/tanrad
//
// Inside, data go one way: layout → mesh → plate → influence (the board prepared and
// judged, by the law of joint) → risk (how likely) → check (the report) → picture and
// report, with wood and moisture feeding it; nothing in pkg knows about HTTP.
package tanrad

import _ "embed"

// OpenAPI is the contract of the HTTP service, OpenAPI 3.1 in YAML.
//
//go:embed openapi.yaml
var OpenAPI []byte
