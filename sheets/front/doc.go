// Package front lays out the sheet that answers first: what an order costs, what
// it is sold at, how long it takes, what is not settled, and what to buy, on one
// page. It works nothing out: templates/front.txt says which figures stand where.
package front
