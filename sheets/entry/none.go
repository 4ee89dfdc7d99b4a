package entry

// isNone reports whether a text is seen by its first words to be no heading, whatever units
// are taken off it: they begin no spelling, and no unit. That is how nearly all texts of a
// sheet of the shop's own are passed over. Of one that is none nothing is known but a unit in
// brackets, so that a text with brackets is read.
func (h *Headings) isNone(raw string) bool {
	for i := range len(raw) {
		if c := raw[i]; c == '(' || c == '[' || c == '{' || c >= 0xc9 { // of letters with accents none becomes a bracket
			return false
		}
	}
	begins, is := h.leads(raw)
	return !begins || !is
}

// Leads reports whether a heading may begin with a text, whatever stands behind it: its own
// words do, or a unit is among them.
func (h *Headings) Leads(raw string) bool {
	begins, _ := h.leads(raw)
	return begins
}

// leads is also whether the text may be a heading by itself.
func (h *Headings) leads(raw string) (begins, is bool) {
	var rooms [2][128]byte
	form := rooms[0][:0]
	for i := 0; ; {
		token, next, slash, ok := plainToken(raw, i, rooms[1][:0])
		if !ok {
			return true, true
		}
		if token == nil {
			_, is := h.meanings[string(form)]
			return true, is || len(form) == 0
		}
		i = next
		word := token
		if one, ok := h.same[string(token)]; ok {
			word = append(rooms[1][len(token):len(token)], one...)
		}
		if len(form)+len(word)+len("per") >= cap(form) {
			return true, true
		}
		if slash && len(form) > 0 && h.forms.with(append(append(form, "per"...), word...)) {
			return true, true // it reads as the word, or as nothing
		}
		if n := len(form); n > 0 && isDigit(form[n-1]) && isDigit(word[0]) {
			form = append(form, '-')
		}
		form = append(form, word...)
		if unit := h.measures.forms.with(token); unit || !h.forms.with(form) {
			return unit, unit
		}
	}
}
