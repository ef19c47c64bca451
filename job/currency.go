package job

import (
	"slices"
	"strings"
)

// minorDigits lists the currencies that do not have two decimals, from the
// published code list of ISO 4217 (written down from memory, 2015 edition with
// amendments; check before relying on a rare one).
var minorDigits = map[int]string{
	0: "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX UYI VND VUV XAF XOF XPF",
	3: "BHD IQD JOD KWD LYD OMR TND",
	4: "CLF UYW",
}

// Decimals is the number of decimals amounts of a currency have: two unless
// ISO 4217 says otherwise.
func Decimals(currency string) int {
	for digits, codes := range minorDigits {
		if slices.Contains(strings.Fields(codes), currency) {
			return digits
		}
	}
	return 2
}
