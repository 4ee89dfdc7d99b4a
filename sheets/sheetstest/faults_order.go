package sheetstest

import (
	"slices"
	"strings"
)

// schemaOrder is what may stand in an element and in which order, from the
// schemas in annex A of ECMA-376 part 1 (from memory): words in order, | between
// those of which any may stand at a place, * behind what may be repeated,
// ! before what must be there. Prefixes: c charts, a drawings, xdr drawings on
// sheets, none sheets; children have that of their parent unless they show one.
// An element that is not listed is not looked into, but its children are.
var schemaOrder = map[string]string{
	"worksheet":    "sheetPr dimension sheetViews sheetFormatPr cols* !sheetData sheetCalcPr sheetProtection protectedRanges scenarios autoFilter sortState dataConsolidate customSheetViews mergeCells phoneticPr conditionalFormatting* dataValidations hyperlinks printOptions pageMargins pageSetup headerFooter rowBreaks colBreaks customProperties cellWatches ignoredErrors smartTags drawing legacyDrawing legacyDrawingHF drawingHF picture oleObjects controls webPublishItems tableParts extLst",
	"sheetPr":      "tabColor outlinePr pageSetUpPr",
	"sheetViews":   "!sheetView* extLst",
	"sheetView":    "pane selection* pivotSelection* extLst",
	"cols":         "!col*",
	"sheetData":    "row*",
	"row":          "c* extLst",
	"c":            "f v is extLst",
	"is":           "t r* rPh* phoneticPr",
	"mergeCells":   "!mergeCell*",
	"autoFilter":   "filterColumn* sortState extLst",
	"sortState":    "sortCondition* extLst",
	"hyperlinks":   "!hyperlink*",
	"rowBreaks":    "brk*",
	"colBreaks":    "brk*",
	"tableParts":   "tablePart*",
	"extLst":       "ext*",
	"colorScale":   "!cfvo* !color*",
	"dataBar":      "!cfvo* !color",
	"iconSet":      "!cfvo*",
	"cfRule":       "formula* colorScale dataBar iconSet extLst",
	"headerFooter": "oddHeader oddFooter evenHeader evenFooter firstHeader firstFooter",

	"conditionalFormatting": "cfRule* extLst",
	"dataValidations":       "!dataValidation*",
	"dataValidation":        "formula1 formula2",

	"workbook":     "fileVersion fileSharing workbookPr workbookProtection bookViews !sheets functionGroups externalReferences definedNames calcPr oleSize customWorkbookViews pivotCaches smartTagPr smartTagTypes webPublishing fileRecoveryPr* webPublishObjects extLst",
	"bookViews":    "!workbookView* extLst",
	"sheets":       "!sheet*",
	"definedNames": "definedName*",

	"styleSheet":   "numFmts fonts fills borders cellStyleXfs cellXfs cellStyles dxfs tableStyles colors extLst",
	"numFmts":      "numFmt*",
	"fonts":        "font* extLst",
	"font":         "b|i|strike|condense|extend|outline|shadow|u|vertAlign|sz|color|name|family|charset|scheme*",
	"fills":        "fill*",
	"fill":         "!patternFill|gradientFill",
	"patternFill":  "fgColor bgColor",
	"gradientFill": "stop*",
	"borders":      "border*",
	"border":       "start|left end|right top bottom diagonal vertical horizontal",
	"cellStyleXfs": "!xf*",
	"cellXfs":      "!xf*",
	"xf":           "alignment protection extLst",
	"cellStyles":   "!cellStyle*",
	"dxfs":         "dxf*",
	"dxf":          "font numFmt fill alignment border protection extLst",

	"sst":          "si* extLst",
	"si":           "t r* rPh* phoneticPr",
	"table":        "autoFilter sortState !tableColumns tableStyleInfo extLst",
	"tableColumns": "!tableColumn*",
	"tableColumn":  "calculatedColumnFormula totalsRowFormula xmlColumnPr extLst",
	"comments":     "!authors !commentList extLst",
	"comment":      "!text commentPr extLst",

	"xdr:wsDr":             "twoCellAnchor|oneCellAnchor|absoluteAnchor*",
	"xdr:twoCellAnchor":    "!from !to !sp|grpSp|graphicFrame|cxnSp|pic|contentPart !clientData",
	"xdr:oneCellAnchor":    "!from !ext !sp|grpSp|graphicFrame|cxnSp|pic|contentPart !clientData",
	"xdr:absoluteAnchor":   "!pos !ext !sp|grpSp|graphicFrame|cxnSp|pic|contentPart !clientData",
	"xdr:from":             "!col !colOff !row !rowOff",
	"xdr:to":               "!col !colOff !row !rowOff",
	"xdr:graphicFrame":     "!nvGraphicFramePr !xfrm !a:graphic",
	"xdr:nvGraphicFramePr": "!cNvPr !cNvGraphicFramePr",
	"a:graphic":            "!graphicData",

	"c:chartSpace": "date1904 lang roundedCorners style clrMapOvr pivotSource protection !chart spPr txPr externalData printSettings userShapes extLst",
	"c:chart":      "title autoTitleDeleted pivotFmts view3D floor sideWall backWall !plotArea legend plotVisOnly dispBlanksAs showDLblsOverMax extLst",
	"c:plotArea": "layout !areaChart|area3DChart|lineChart|line3DChart|stockChart|radarChart|scatterChart|pieChart|pie3DChart|doughnutChart|barChart|bar3DChart|ofPieChart|surfaceChart|surface3DChart|bubbleChart*" +
		" valAx|catAx|dateAx|serAx* dTable spPr extLst",
	"c:barChart":      "!barDir grouping varyColors ser* dLbls gapWidth overlap serLines* !axId* extLst",
	"c:lineChart":     "!grouping varyColors ser* dLbls dropLines hiLowLines upDownBars marker smooth !axId* extLst",
	"c:areaChart":     "grouping varyColors ser* dLbls dropLines !axId* extLst",
	"c:scatterChart":  "!scatterStyle varyColors ser* dLbls !axId* extLst",
	"c:pieChart":      "varyColors ser* dLbls firstSliceAng extLst",
	"c:doughnutChart": "varyColors ser* dLbls firstSliceAng holeSize extLst",
	// All kinds of series in one: each has some of these, in this order.
	"c:ser":           "!idx !order tx spPr invertIfNegative pictureOptions marker explosion dPt* dLbls trendline* errBars* cat xVal val yVal bubbleSize bubble3D smooth shape extLst",
	"c:dPt":           "!idx invertIfNegative marker bubble3D explosion spPr pictureOptions extLst",
	"c:dLbls":         "dLbl* delete numFmt spPr txPr dLblPos showLegendKey showVal showCatName showSerName showPercent showBubbleSize separator showLeaderLines leaderLines extLst",
	"c:dLbl":          "!idx delete layout tx numFmt spPr txPr dLblPos showLegendKey showVal showCatName showSerName showPercent showBubbleSize separator extLst",
	"c:marker":        "symbol size spPr extLst",
	"c:tx":            "!strRef|rich|v", // v is a series' own
	"c:cat":           "!multiLvlStrRef|numRef|numLit|strRef|strLit",
	"c:xVal":          "!multiLvlStrRef|numRef|numLit|strRef|strLit",
	"c:val":           "!numRef|numLit",
	"c:yVal":          "!numRef|numLit",
	"c:strRef":        "!f strCache extLst",
	"c:numRef":        "!f numCache extLst",
	"c:strCache":      "ptCount pt* extLst",
	"c:numCache":      "formatCode ptCount pt* extLst",
	"c:pt":            "!v",
	"c:legend":        "legendPos legendEntry* layout overlay spPr txPr extLst",
	"c:title":         "tx layout overlay spPr txPr extLst",
	"c:scaling":       "logBase orientation max min extLst",
	"c:catAx":         "!axId !scaling delete !axPos majorGridlines minorGridlines title numFmt majorTickMark minorTickMark tickLblPos spPr txPr !crossAx crosses|crossesAt auto lblAlgn lblOffset tickLblSkip tickMarkSkip noMultiLvlLbl extLst",
	"c:valAx":         "!axId !scaling delete !axPos majorGridlines minorGridlines title numFmt majorTickMark minorTickMark tickLblPos spPr txPr !crossAx crosses|crossesAt crossBetween majorUnit minorUnit dispUnits extLst",
	"c:dateAx":        "!axId !scaling delete !axPos majorGridlines minorGridlines title numFmt majorTickMark minorTickMark tickLblPos spPr txPr !crossAx crosses|crossesAt auto lblOffset baseTimeUnit majorUnit majorTimeUnit minorUnit minorTimeUnit extLst",
	"c:printSettings": "headerFooter pageMargins pageSetup legacyDrawingHF",
	"c:txPr":          "!a:bodyPr a:lstStyle !a:p*",
	"c:rich":          "!a:bodyPr a:lstStyle !a:p*",
	"c:spPr":          "a:xfrm a:custGeom|a:prstGeom a:noFill|a:solidFill|a:gradFill|a:blipFill|a:pattFill|a:grpFill a:ln a:effectLst|a:effectDag a:scene3d a:sp3d a:extLst",
	"a:p":             "pPr r|br|fld* endParaRPr",
	"a:pPr":           "lnSpc spcBef spcAft buClrTx|buClr buSzTx|buSzPct|buSzPts buFontTx|buFont buNone|buAutoNum|buChar|buBlip tabLst defRPr extLst",
	"a:r":             "rPr !t",
	"a:rPr":           "ln noFill|solidFill|gradFill|blipFill|pattFill|grpFill effectLst|effectDag highlight uLnTx|uLn uFillTx|uFill latin ea cs sym hlinkClick hlinkMouseOver rtl extLst",
	"a:defRPr":        "ln noFill|solidFill|gradFill|blipFill|pattFill|grpFill effectLst|effectDag highlight uLnTx|uLn uFillTx|uFill latin ea cs sym hlinkClick hlinkMouseOver rtl extLst",
	"a:ln":            "noFill|solidFill|gradFill|pattFill prstDash|custDash round|bevel|miter headEnd tailEnd extLst",
	"a:solidFill":     "!scrgbClr|srgbClr|hslClr|sysClr|schemeClr|prstClr",
}

// families give the prefix of schemaOrder for the end of a namespace, in its
// transitional or strict form.
var families = map[string]string{
	"spreadsheetml/2006/main": "", "spreadsheetml/main": "",
	"drawingml/2006/main": "a:", "drawingml/main": "a:",
	"drawingml/2006/chart": "c:", "drawingml/chart": "c:",
	"drawingml/2006/spreadsheetDrawing": "xdr:", "drawingml/spreadsheetDrawing": "xdr:",
}

// family gives the prefix of schemaOrder for an element; false for one that the
// base standard does not know, or not here.
func family(n *node) (string, bool) {
	for end, prefix := range families {
		if strings.HasSuffix(n.space, "/"+end) {
			return prefix, true
		}
	}
	return "", false
}

// ordered demands that the children of an element, and theirs, stand as the
// schema has it. ignorable are the prefixes that a reader may pass over.
func (c *checking) ordered(part string, n *node, ignorable []string) {
	prefix, known := family(n)
	if i := n.attr("mc:Ignorable"); i != "" {
		ignorable = append(slices.Clone(ignorable), strings.Fields(i)...)
	}
	if prefix+n.name == "a:graphicData" || prefix+n.name == "ext" { // may hold anything
		return
	}
	if !known {
		for _, k := range n.kids {
			if _, is := family(k); k.kind == element && is {
				c.ordered(part, k, ignorable)
			}
		}
		return
	}
	words := strings.Fields(schemaOrder[prefix+n.name])
	have := make([]int, len(words))
	last := 0
	for _, k := range n.kids {
		if k.kind != element {
			continue
		}
		own, base := family(k)
		if p, _, _ := strings.Cut(k.full, ":"); !base {
			if !slices.Contains(ignorable, p) {
				c.say(part, "<%s> in <%s> is of no schema that its readers know", k.full, n.full)
			}
			continue
		}
		name := k.name
		if own != prefix {
			name = own + name
		}
		if len(words) > 0 {
			switch at := slices.IndexFunc(words, func(w string) bool { return slices.Contains(strings.Split(strings.Trim(w, "!*"), "|"), name) }); {
			case at < 0:
				c.say(part, "<%s> may not stand in <%s>", k.full, n.full)
			case at < last:
				c.say(part, "<%s> in <%s> stands after %s", k.full, n.full, strings.Trim(words[last], "!*"))
			default:
				last = at
				if have[at]++; have[at] > 1 && !strings.HasSuffix(words[at], "*") {
					c.say(part, "<%s> in <%s> twice", k.full, n.full)
				}
			}
		}
		c.ordered(part, k, ignorable)
	}
	for i, w := range words {
		if strings.HasPrefix(w, "!") && have[i] == 0 {
			c.say(part, "<%s> lacks %s", n.full, strings.Trim(w, "!*"))
		}
	}
}
