package caution

// The cautions that stand on every setting-out sheet and beside every list of
// holes.
var (
	// ProveDead: the regulation's own text, and HSE's circular OC 480/2 on it.
	ProveDead = Caution{"prove_dead",
		"Isolate the circuit, lock it off and prove it dead with a two-pole tester that you prove before and after. " +
			"Electrical work is for a qualified person.",
		Source{Document: "Electricity at Work Regulations 1989", Clause: "regulation 14", Known: Read}}

	// Services: nobody but a registered engineer works on gas: regulation 3(3),
	// its own text.
	Services = Caution{"services",
		"Gas, water and heating pipes and other cables may run behind the board that nobody recorded. Scan before you " +
			"cut; if in doubt, stop. Gas work is for a registered gas engineer.",
		Source{Document: "Gas Safety (Installation and Use) Regulations 1998", Clause: "regulation 3(3); else site practice",
			Known: Read}}

	// Asbestos: a survey for refurbishment is intrusive and comes before the work,
	// for the area of the work.
	Asbestos = Caution{"asbestos",
		"In a building that was built or refurbished before 2000 (the UK's year), ceilings, textured coats and boards can " +
			"hold asbestos. There, see the refurbishment survey for this room before you cut, and do not cut without one.",
		Source{Document: "Control of Asbestos Regulations 2012", Clause: "regulation 5; HSE HSG264"}}

	// Dust: an FFP3 mask has the assigned protection factor of 20 that HSE gives as
	// the general level for construction dust.
	Dust = Caution{"dust",
		"Cutting board and plaster makes fine dust. Use extraction at the saw and wear an FFP3 mask that was fitted to " +
			"your face.",
		Source{Document: "HSE Construction Information Sheet 36, Construction dust"}}

	// Height: a ladder only where the risk is low and the time short, or the site
	// allows nothing else: the regulation's own text.
	Height = Caution{"height",
		"This cannot be reached from the floor. Work from a platform; use a ladder or steps only where the risk is low " +
			"and the work short, and never stand on the top.",
		Source{Document: "Work at Height Regulations 2005", Clause: "Schedule 6, paragraph 1", Known: Read}}

	// FireFloor: floors of low houses are normally of 30 minutes. TRADA Technology
	// Report 1/2001 tested solid joists with downlights, not I-joists or metal webs.
	FireFloor = Caution{"fire_floor",
		"Holes must not reduce the fire resistance of the floor above, normally 30 minutes in a low-rise house. Under " +
			"I-joists or metal webs, and in floors of 60 minutes, use fittings or hoods that were tested to keep it.",
		Source{Document: "Approved Document B, volume 1 (England)", Clause: "Appendix B"}}

	// FittingHeat: recessed luminaires and their marking for covering with
	// insulation.
	FittingHeat = Caution{"fitting_heat",
		"Keep the clearances round a recessed fitting that its maker gives; cover it with insulation only if it is marked " +
			"for that.",
		Source{Document: "BS EN 60598-2-2"}}
)
