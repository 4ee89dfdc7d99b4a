package usage

// The texts of help, of the program and of each command, with examples: those
// are what most people look for.
const (
	About = `The joints stay in the shop's workbook, one a row. The program writes beside
them what each takes (stops, arc time, argon, filler, tube, hours, cost) as live
formulas, and adds a summary with prices and a sheet of assumptions to edit.

Examples:
   seamtally new order.xlsx          a workbook to fill in
   seamtally price order.xlsx        writes order-priced.xlsx
   seamtally help price              more about one command

An estimate is not a welding procedure. Local codes, the job's qualified
procedures and its acceptance standard bind; so do the usual cautions for argon,
arc light and titanium fines, which the summary sheet lists.`

	AboutNew = `Headings, units and choices stand ready; the example rows are invented.

--from LAST has it begin with the rates of an earlier workbook, in whose units it
is; seamtally help price says what comes. It is priced with them, in place.

Examples:
   seamtally new order.xlsx
   seamtally new --metric order.xlsx
   seamtally new order.xlsx --from last-quote.xlsx`

	AboutPrice = `FILE is not touched: the priced copy goes beside it, order.xlsx to
order-priced.xlsx, unless -o or --in-place says otherwise. An output that exists
is refused without --force, also one of an earlier run: somebody may have typed
into it.

FILE may be a list too, a .csv or .tsv in UTF-8: it becomes a workbook with the list as
typed on its first sheet. Semicolons, tabs and decimal commas are recognised, or
refused where they could be read in two ways. A cell that begins with = stays text.
For - FILE is read from standard input, and -o says where to.

The table on standard output is one line a car and one for the order, under whether
the order is COMPLETE, and if not why. What is odd or wrong in FILE goes to standard
error.

--with writes sheets to decide a bid by: rates (welds and the order under every
set-up), breaks (other numbers of cars), buying (cut list, bottles, rods), range
(what is not known, and the chance of a loss), schedule (days, but for those on which
the shop is shut, see Days shut on Assumptions). A workbook that has one keeps it up
to date.

--from LAST takes what the shop has set in an earlier priced workbook into one that
has none of it yet: single assumptions with unit, range, basis, note, reliability
and since; tables; settled columns, found by their headings; shop, currency, and the
basis of the estimate as far as it holds from quote to quote. It leaves cars, the
rest of the head, the day of starting, and other work for cars that are not there.
Formulas come as their values. What LAST's version did not know, or shipped
otherwise and the shop left so, is as shipped now, and told. LAST must be in the
same units, US or metric. A FILE that has an Assumptions sheet keeps it: with --from
it is refused. SEAMTALLY_FROM names the shop's usual LAST, which only a FILE without
Assumptions takes; --from "" does without.

Where most joints do not say how often they are purged, that is said once, with what
one purge more would do to the price, until default_purges has a basis of your own.

--settle says what a column or a sheet is, where that is asked: an input by its
name, or own; or that words among joints are own, by their cell ("Coupe!A12=own").
It may be given several times, and is kept in the workbook.

--set asks a question without editing: with --dry-run, what would the order come to
if this were typed? PLACE is an assumption by its name (any unit that it takes), an
input of a joint as MARK.column (SHEET!MARK.column, or SHEET!ROW.column, where a mark
is there twice), or a cell of a table as table.line.column. VALUE is as you type it
into the cell: 110, $110, 110 per hour, 1,200, 15%, 4 mm. It may be given several
times. The order is told as it is, as it would be, and the difference, and which
cells to type into if that is what you want.

Exit status: 0 the order is COMPLETE, 1 it is INCOMPLETE, 2 nothing written.

Examples:
   seamtally price order.xlsx
   seamtally price order.xlsx --with rates,breaks
   seamtally price order.xlsx --from last-quote.xlsx
   seamtally price order.xlsx --settle 'Coupe!E=qty' --settle Rates=own
   seamtally price order.xlsx --dry-run         look before writing
   seamtally price order.xlsx --dry-run --set shop_rate=110
   seamtally price order.xlsx --dry-run --set "A-07.setup=trailing shield, on rolls"
   seamtally price --in-place order.xlsx        again, after the rows changed
   seamtally price order.xlsx -o quote.xlsx --json > quote.json
   seamtally price list.csv -o quote.xlsx`

	AboutCheck = `For every joint list: which column was taken for what, and in which unit; what
came by default; which rows were passed over; and everything that was found.
Nothing is written. Exit status: 0 the order is COMPLETE, 1 it is INCOMPLETE, 2 it
could not be read.

Examples:
   seamtally check order.xlsx
   seamtally check --json order.xlsx`

	AboutAudit = `For a workbook that has been round: every calculated cell is worked out afresh
from the inputs and compared. What was changed, typed over, lost, hidden or mixed
up is named with its cell, what should stand there, and what it does to the cost
and the price of the order, by the number that the cell shows. --against BASE
also names joints and assumptions that are not those of an earlier copy.

Wrong is what does not come from its formula and inputs; doubtful is what needs a
look; the rest is worth knowing. Nothing is written but the copy that --mark asks
for. Exit status: 0 nothing wrong or doubtful, 1 something is, 2 it could not be
audited.

Examples:
   seamtally audit quote.xlsx
   seamtally audit quote.xlsx --against order-priced.xlsx --mark audited.xlsx`

	AboutExplain = `What a figure is, as FILE stands, and what it is made of, the largest part first
with its share. MARK is the mark in the joint list, a cell or row of it (Coupe!F14,
Coupe!14) where marks are missing or repeat, the name of a car, or the word order.
FIGURE, a name, a heading or a word of one, is one figure of it. Such a word in place
of MARK is one of the order: price, cost, hours, margin, "working days". --all gives
the whole working: every figure with its cell, its formula in names and with numbers,
and where each number comes from. Each part can be asked for in turn. Nothing is
written, and FILE need not be priced. Exit status: 0, or 2 where there is nothing to explain.

Examples:
   seamtally explain order.xlsx price
   seamtally explain order.xlsx J7
   seamtally explain order.xlsx J7 arc_time
   seamtally explain order.xlsx J7 --all
   seamtally explain order.xlsx Coupe!14 --json`

	AboutClear = `Calculated columns and sheets go, the shop's own cells stay. The copy goes where
that of "price" would, unless -o or --in-place says otherwise.

Examples:
   seamtally clear order-priced.xlsx -o order.xlsx
   seamtally clear --in-place order.xlsx`

	AboutCompare = `Everything that differs between two revisions of an order (assumptions, lines of
tables, joints, typed-over figures, cars) with its share of the change in the
price, to the cent; the shares add up to the change. A share is the mean of what
the change makes over all orders in which the changes could be made, so none is
favoured by coming first. Sorting rows or moving columns is no change. Neither
file is touched. Exit status: 0 compared, 2 not.

Examples:
   seamtally compare quote-1.xlsx quote-2.xlsx
   seamtally compare quote-1.xlsx quote-2.xlsx --of order_cost
   seamtally compare quote-1.xlsx quote-2.xlsx -o bridge.xlsx`

	AboutOffer = `A workbook of its own for the customer, on one page: what is offered, price of
each car and in total, and what Assumptions says of scope, exclusions, documents,
validity, delivery, payment and terms. A bid beats the price worked out. OUT has
no cost, rate, hours or formula in it, and is never encrypted. The shop's name and
address are typed at the head of Assumptions; --picture puts a picture of FILE
above them, copied as it is, with whatever its maker has noted in it.

An order that is not complete is refused: an offer must not lack joints. --draft
offers it all the same, and OUT says DRAFT. Exit status: 0 written, 2 not.

Examples:
   seamtally offer order-priced.xlsx -o offer.xlsx
   seamtally offer order-priced.xlsx -o offer.xlsx --date 2026-11-25 --force
   seamtally offer order-priced.xlsx -o offer.xlsx --picture Order`

	AboutLoad = `Each FILE is a quote, in any order, priced or not: its hours by week and stage
(saw, bench, welding, other) as its Schedule has them, added up over all, against
the hours that the floor has. The day on which its work starts is typed at
start_date on its Assumptions, the chance that it is won at win_chance: 100 %, as
shipped, is an order and counts in full, 0 % counts nothing. P50 and P80 say what the
hours of a week may come to: the minutes behind them are drawn from their ranges once
for all quotes, as all rest on the same; which quotes are won is drawn for each.

The floor has, in a working day, the most hours that a quote counts on (hours_per_day,
welders, utilisation), unless --day-hours says what the whole shop has; and no hours
on days on which a quote knows the shop to be shut. A quote that is given twice counts
once. One that cannot be read, or has no day to start on, is named, and the others
are counted. Where quotes rest on different assumptions is said. No FILE is touched;
an OUT that is made of an encrypted one is encrypted with its password.

Exit status: 0 all quotes are counted and COMPLETE, 1 some are not, 2 none is read.

Examples:
   seamtally load quote-1.xlsx quote-2.xlsx
   seamtally load quotes/*.xlsx -o load.xlsx
   seamtally load quotes/*.xlsx --day-hours 13.6 --json > load.json`

	AboutTraveller = `A workbook of its own for the bench, a sheet for each car of the run, from the rows
that are priced: mark, where, the drawing's number where the list has one, kind, sizes,
metals, saw angle and turn, welds and tacks, set-up and purge, colour limit. Below each joint are boxes for procedure
number, welder, oxygen measured, repair and colour seen; at the end those for the
minutes at saw, bench and weld, the cautions, and FILE's fingerprint.

Nothing of the estimate is on it: no travel, gas, time, stop or money. An estimate is not
a welding procedure: follow the qualified procedure.

--notes prints what the shop has noted on a joint's row, in columns headed Note,
Remarks, Description or the like. A note that an estimate could be read off stays out
and is named: one with travel, flow, minutes, a price and the like, or with a number
that is no size or angle with its unit (2 mm, 1/2", 45°) and no joint's mark.

A joint that may be blue wants its reason: a note on its row that names the colour
("blue: the customer accepts it inside the tail pipe"), or the basis beside the
darkest colour on Assumptions. Where there is none, the page has a line to write on.

An order that is not complete is refused; --draft writes it with DRAFT on every
page. Exit status: 0 written, 2 not.

Examples:
   seamtally traveller order-priced.xlsx -o traveller.xlsx
   seamtally traveller order-priced.xlsx -o coupe.xlsx --car "Coupe Demo-A" --numbers 3-5`

	AboutCalibrate = `SHEET is a time sheet, or a priced workbook with minutes in it; give as many as there
are, of any orders. For each stage a line says what was logged over what was
estimated at factors of 100 %, where that ratio lies in four cases of five, how far
off a new car is still expected to be, and what to do: write, keep (what stands is as
good), too few (under five cars), or outside (its usual range, as where hours were
typed as minutes). Cars far off count less, and are named.

--into QUOTE writes saw_factor, bench_factor, weld_factor and gas_factor into the
assumptions of a priced workbook, with range, basis, reliability and a line of the
log, and prices it: beside QUOTE, to OUT, or in place. Nothing else of yours is
written. filler_yield and learning_slope are written where --also names them, and
what rests on under five cars with --few, what is outside with --outside. The factors go with the learning slope that
stands in QUOTE. The sheet Range then draws the factors, and not the minutes that
they stand for.

Without --into, -o writes a workbook with each car beside its estimate, and charts.
What is not counted is told with its cell. Exit status: 0 done, 2 nothing written.

Examples:
   seamtally calibrate floor-1.xlsx floor-2.xlsx
   seamtally calibrate floor-*.xlsx -o report.xlsx
   seamtally calibrate floor-*.xlsx --into order-priced.xlsx -o order-own.xlsx
   seamtally calibrate floor-*.xlsx --into order-priced.xlsx --also learning_slope`

	AboutTimeSheet = `A workbook of its own for the floor: a line for each car of the run, with room for
day, welder, minutes at saw, bench and weld, clocked minutes in all, bottles changed
on each gas line, rods, repairs by kind of joint, whether the whole job was logged,
and a note. No minutes, gas or money of the estimate are on that page: who sees what
was expected, logs what was expected. What the model makes of each car, with every
factor at 100 % and nothing learned, is on a second sheet, for the estimator alone,
with FILE's fingerprint: so the time sheet can be used when FILE has changed since.

No time sheet is needed where you keep minutes in your own workbook: calibrate reads
columns headed "Actual min", "Act hrs" or "Logged (min)" beside joints (of the row, on
one car), or in your list of cars; "Saw actual, min" and the like are of one stage.
No price comes of such columns.

Lines may be added below the last. A cell that is no number, is below 0, or is over a
day for one stage is told with its place when the time sheet is read, and left out.

An order that is not complete is refused; --draft writes it and says so. Exit status:
0 written, 2 not.

Examples:
   seamtally timesheet order-priced.xlsx -o floor.xlsx`

	AboutOutcome = `What came of a job. FILE is its quote, SHEET a time sheet; give as many as there are.
Each car that was logged whole has a line: hours quoted, what was logged over that at
saw, bench and weld, in all else (other work, work done once, allowance), and hours
logged, so that quoted and differences add up to logged. A stage that was not timed is
within all else. Below stand the argon of the lines whose bottles were counted, and the
rods, as quoted and as logged.

Price is the bid where there is one. What an hour earned is what the price leaves, once
all but hours is paid as quoted, over the hours logged. Nothing is written.
Exit status: 0 told, 2 not.

Examples:
   seamtally outcome order-priced.xlsx floor.xlsx
   seamtally outcome order-priced.xlsx floor-*.xlsx --json`

	AboutFormulas = `Examples:
   seamtally formulas
   seamtally formulas --metric > formulas.txt
   seamtally formulas --markdown     as the tables of templates/figures.md`

	AboutManual = `The page is made of the commands as this build has them. It is in roff: for man
to find it, put it where manual pages are.

Examples:
   seamtally manual > seamtally.1 && man ./seamtally.1
   seamtally manual > ~/.local/share/man/man1/seamtally.1`

	AboutCompletion = `SHELL is bash, zsh or fish. Commands, flags, and of the workbook that is named its
marks, cars, figures and sheets: after explain FILE, and after --set, --settle, --of
and --car.

Examples:
   source <(seamtally completion bash)
   seamtally completion fish > ~/.config/fish/completions/seamtally.fish`
)
