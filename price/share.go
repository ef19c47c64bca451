package price

import (
	"math"
	"slices"

	"scumble/unit"
)

// apportion parts an amount in proportion to weights so that the parts are whole
// minor units and sum to it exactly: the largest remainders get the units left
// over (Hamilton's method), ties in order of the weights. Weights below zero or
// not finite count as none. With no weight at all everything is zero.
func apportion(amount unit.Money, weights []float64) []unit.Money {
	parts := make([]unit.Money, len(weights))
	sum := 0.0
	clean := make([]float64, len(weights))
	for i, w := range weights {
		if w > 0 && !math.IsInf(w, 1) {
			clean[i] = w
			sum += w
		}
	}
	if sum <= 0 || math.IsInf(sum, 1) || amount == 0 {
		return parts
	}
	sign := unit.Money(1)
	if amount < 0 {
		sign, amount = -1, -amount
	}
	rest := make([]float64, len(weights))
	order := make([]int, 0, len(weights))
	left := amount
	for i, w := range clean {
		if w == 0 {
			continue
		}
		exact := float64(amount) * (w / sum)
		parts[i] = unit.Money(math.Floor(exact))
		rest[i] = exact - float64(parts[i])
		left -= parts[i]
		order = append(order, i)
	}
	slices.SortStableFunc(order, func(a, b int) int {
		switch {
		case rest[a] > rest[b]:
			return -1
		case rest[a] < rest[b]:
			return 1
		}
		return 0
	})
	for k := 0; left > 0; k++ {
		parts[order[k%len(order)]]++
		left--
	}
	for k := len(order) - 1; left < 0; k = (k + len(order) - 1) % len(order) { // a float that rounded up
		if i := order[k]; parts[i] > 0 {
			parts[i]--
			left++
		}
	}
	for i := range parts {
		parts[i] *= sign
	}
	return parts
}

// money rounds to whole minor units, half away from zero.
func money(v float64) unit.Money { return unit.Money(math.Round(v)) }
