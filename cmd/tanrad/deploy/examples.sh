#!/usr/bin/env bash
# Questions to a service with curl. Usage: examples.sh [http://127.0.0.1:8080]
set -euo pipefail
base="${1:-http://127.0.0.1:8080}"
board='{"tanrad":1,"units":"mm","thickness":38,
  "stock":{"M":{"species":"sugar-maple","ring_angle":0,"moisture":7.5},"W":{"species":"black-walnut","ring_angle":90,"moisture":8}},
  "field":{"grid":{"block":[40,40],"rows":["MW","WM"]}}}'

# What wood settles at in this air.
curl -fsS "$base/v1/emc?temperature=21&humidity=45"

# Do these two go together? Packed on the way.
curl -fsS --compressed --json '{"a":{"species":"sugar-maple","ring_angle":90},"b":{"species":"black-walnut","ring_angle":0},"moisture":{"change":3}}' "$base/v1/pair"

# Will this board hold? Of the answer only what is wanted.
curl -fsS --json "$board" "$base/v1/board?exposures=none&fields=verdict,headline,joints.id,joints.utilisation"

# The quick answer, and nothing at all when it is the one that is known.
tag=$(curl -fsS -o /dev/null -D - --json "$board" "$base/v1/board?exposures=none&cracks=false&chance=false" | sed -n 's/^[Ee][Tt]ag: //p' | tr -d '\r')
curl -fsS -o /dev/null -w 'unchanged: %{http_code}\n' -H "If-None-Match: $tag" --json "$board" "$base/v1/board?exposures=none&cracks=false&chance=false"

# Its picture.
curl -fsS -H 'Accept: image/svg+xml' --json "$board" "$base/v1/board?exposures=none" | sed -n '1s/^\(.\{60\}\).*/\1/p'

# Many boards: a sweep, its progress and results as they come, one of them again.
job=$(curl -fsS -H "Idempotency-Key: $RANDOM$RANDOM" --json "{\"kind\":\"sweep\",\"parameters\":{\"exposures\":[\"none\"],\"cracks\":false,\"chance\":false},\"fields\":[\"verdict\",\"utilisation\"],
  \"board\":$board,\"axes\":[{\"at\":[\"/stock/W/species\"],\"values\":[\"black-walnut\",\"black-cherry\"]},{\"at\":[\"/thickness\"],\"values\":[25,38]}]}" "$base/v1/jobs" | sed 's/.*"id":"\([^"]*\)".*/\1/')
curl -fsSN "$base/v1/jobs/$job/events"
curl -fsS "$base/v1/jobs/$job/results/3"

# How often would it hold? Boards drawn at random, their moisture as a meter reads it.
job=$(curl -fsS --json "{\"kind\":\"sweep\",\"parameters\":{\"exposures\":[\"none\"],\"by\":\"stress\"},\"fields\":[\"verdict\",\"utilisation\"],
  \"board\":$board,\"axes\":[{\"draws\":3,\"seed\":1,\"scatter\":[{\"at\":[\"/stock/M/moisture\"],\"mean\":7.5,\"sd\":0.7}]}]}" "$base/v1/jobs" | sed 's/.*"id":"\([^"]*\)".*/\1/')
curl -fsSN "$base/v1/jobs/$job/events" | grep -c '"verdict"'
