package caution

// The cautions that stand on every set-out sheet and beside every list of
// holes. Facts from memory or second hand, as each source says.
var (
	// ProveDead: Electricity at Work Regulations 1989, regulation 14; HSE
	// GS38 (leads and tips) and HSG85. From memory.
	ProveDead = Caution{"prove_dead",
		"Isolate the circuit, lock it off and prove it dead with a two-pole tester that you prove before and after. " +
			"Electrical work is for a qualified person.",
		Source{"Electricity at Work Regulations; HSE GS38, HSG85", "regulation 14", "1989", Memory}}

	// Asbestos: Control of Asbestos Regulations 2012; HSG264, 2nd edition
	// 2012. A refurbishment and demolition survey is intrusive and comes
	// before the work, for the area of the work. Read at second hand.
	Asbestos = Caution{"asbestos",
		"Old ceilings, textured coats and boards can hold asbestos. See the refurbishment survey for this room before you " +
			"drill; where there is none, do not drill.",
		Source{"Control of Asbestos Regulations; HSE HSG264", "", "2012", Secondary}}

	// Services: what runs behind the board is not in this record unless
	// somebody put it there. Common practice, no source.
	Services = Caution{"services",
		"Pipes and other cables may run behind the board that this record does not know. Look or detect before you cut.",
		Source{"Site practice", "", "", Practice}}

	// Dust: EH40, respirable crystalline silica 0.1 mg/m³ over 8 hours; COSHH
	// 2002. From memory.
	Dust = Caution{"dust",
		"Cutting board and plaster makes fine dust (silica limit 0.1 mg/m³ over 8 hours). Extract it at the saw and wear " +
			"a mask.",
		Source{"COSHH Regulations 2002; HSE EH40", "", "", Memory}}

	// Height: Work at Height Regulations 2005. From memory.
	Height = Caution{"height",
		"Work from a platform, not from the top of a ladder.",
		Source{"Work at Height Regulations", "", "2005", Memory}}

	// FireFloor: Approved Document B vol 1: floors in low dwellings normally
	// 30 minutes; TRADA Technology Report 1/2001 tested solid joist floors of
	// 3.2 x 4.2 m with up to 24 fittings without early failure, not I-joists
	// or metal webs; 60 minute floors still protect. Read at second hand in
	// local authority guidance of January 2023.
	FireFloor = Caution{"fire_floor",
		"Holes must not take from the fire resistance of the floor above, normally 30 minutes in a low house. Under " +
			"I-joists or metal webs, and in floors of 60 minutes, ask for fittings or hoods that keep it.",
		Source{"Approved Document B vol 1; TRADA Technology Report 1/2001", "", "", Secondary}}

	// FittingHeat: EN 60598-2-2, recessed luminaires and their marking for
	// covering with insulation. From memory.
	FittingHeat = Caution{"fitting_heat",
		"Keep the clearances round a recessed fitting that its maker gives, and no insulation on it unless it is marked " +
			"for that.",
		Source{"EN 60598-2-2", "", "", Memory}}
)

// BeforeCutting returns the cautions before any hole is cut, in the order in
// which they are to be heeded. The slice is the caller's own.
func BeforeCutting() []Caution {
	return []Caution{Asbestos, ProveDead, Services, Dust, Height}
}

// ForKind returns the further cautions for the kind of fitting that goes into
// the hole ("downlight", "fan" ...); nil if there are none.
func ForKind(kind string) []Caution {
	switch kind {
	case "downlight", "pendant":
		return []Caution{FireFloor, FittingHeat}
	case "fan":
		return []Caution{FireFloor}
	}
	return nil
}
