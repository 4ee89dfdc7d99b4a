// Package audit holds a priced workbook against what its inputs come to, and says
// what each difference does to the price. It writes nothing but a marked copy.
package audit
