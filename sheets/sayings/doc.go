// Package sayings reads words as they stand around joints, beside them, or on another
// sheet: what they may say of joints that the rows of a list do not. It knows nothing of
// where they stand, nor of what is made of them.
package sayings
