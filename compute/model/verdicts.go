package model

import "fmt"

// Words of the verdicts on the checks of an order.
const (
	WordOK         = "ok"
	WordLook       = "LOOK"
	WordIncomplete = "INCOMPLETE"
	WordComplete   = "COMPLETE"
)

// Verdict says what an amount of a check of the order comes to; "" for one that
// only counts.
func (q *Quantity) Verdict(x float64) string {
	switch {
	case q.Level == LevelOK:
		return ""
	case x == 0:
		return WordOK
	}
	return q.raisedWord()
}

func (q *Quantity) raisedWord() string {
	if q.Level == LevelRefuse {
		return WordIncomplete
	}
	return WordLook
}

// VerdictFormula is the same for a cell that holds the amount: an error there is
// no 0.
func (q *Quantity) VerdictFormula(cell string) string {
	return fmt.Sprintf(`IF(COUNTIF(%s,0)=1,"%s","%s")`, cell, WordOK, q.raisedWord())
}
