package unit

// KG is a mass in kilograms.
type KG float64

// PerPound is the number of kilograms in a pound, exact by definition
// (international yard and pound agreement of 1959).
const PerPound KG = 0.45359237

// Text prints the mass in kilograms with so many decimals and no unit.
func (m KG) Text(decimals int) string { return fixed(float64(m), decimals) }

// MM2 is an area in square millimetres.
type MM2 float64

// MPa is a stress or a pressure in megapascals, which is newtons on a square
// millimetre.
type MPa float64

// PerPSI is the number of megapascals in a pound on a square inch.
const PerPSI MPa = 0.006894757293168361
