package main

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/tanrad/tanrad/pkg/moisture"
)

const roomTemperature = 20.0 // °C of air that names none

// end is one end of a change of moisture as the command line gives it.
type end struct {
	mc   *float64
	room *moisture.Room
}

// parseEnd reads "7.5" (% MC), "45rh" (relative humidity at 20 °C) or
// "45rh@23" (at 23 °C).
func parseEnd(flag, text string) (end, error) {
	bad := usage{fmt.Errorf("--%s %q: write %% MC as 7.5, or air as 45rh or 45rh@20", flag, text)}
	body, temperature, hasTemperature := strings.Cut(strings.ToLower(strings.TrimSpace(text)), "@")
	humidity, isAir := strings.CutSuffix(strings.TrimSpace(body), "rh")
	if !isAir {
		mc, err := strconv.ParseFloat(strings.TrimSpace(body), 64)
		if err != nil || hasTemperature {
			return end{}, bad
		}
		return end{mc: &mc}, nil
	}
	room := moisture.Room{Temperature: roomTemperature}
	var err error
	if room.Humidity, err = strconv.ParseFloat(strings.TrimSpace(strings.TrimSuffix(humidity, "%")), 64); err != nil {
		return end{}, bad
	}
	if hasTemperature {
		temperature = strings.TrimSuffix(strings.TrimSuffix(strings.TrimSpace(temperature), "c"), "°")
		if room.Temperature, err = strconv.ParseFloat(temperature, 64); err != nil {
			return end{}, bad
		}
	}
	return end{room: &room}, nil
}
