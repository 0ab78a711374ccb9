package hive

// Cautions returns what every plan says once about harm, in the order of
// printing. They are advice, not law: local codes and licensed practice go
// first (common practice; infants and botulism after UF/IFAS EDIS AA142;
// lifting after the usual handling guideline of 25 kg for men and 16 kg for
// women at the waist).
//
//	super  the box that is lifted full
func Cautions(super Box) []Reason {
	return []Reason{
		{"Stings can kill: veil, phone, never alone if you react; after trouble breathing call the emergency number.", nil},
		{"A full super weighs about {}: lift with a straight back, with help, or frame by frame.", []Value{{super.FullKg, Kg}}},
		{"No honey for children under 12 months (botulism).", nil},
		{"Honey above 18.6 % water may ferment: do not bottle or sell it; food law for selling is local.", nil},
		{"Disease and treatment: know what must be reported where you live, use licensed products by their label, ask the bee inspector or a vet. This program gives no dose.", nil},
	}
}
