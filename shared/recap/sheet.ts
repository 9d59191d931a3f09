import { FACE, HAIRLINE, INK, WOOL_DEEP, WOOL_QUIET, WOOL_RULE } from "../draw/palette.ts";

export type Paper = "A4" | "Letter";

/** The recipe sheet's style, on paper and on screen; ink on white, for paper is white. */
export function sheetStyle(paper: Paper): string {
  return `@page{size:${paper === "A4" ? "210mm 297mm" : "8.5in 11in"};margin:14mm 14mm 16mm}
*{box-sizing:border-box}
body{margin:0;background:#fff;color:${INK};font:420 10pt/1.35 ${FACE};-webkit-print-color-adjust:exact;print-color-adjust:exact}
.sheet{max-width:182mm;margin:0 auto}
@media screen{.sheet{padding:12mm 0}}
h1,h2,p,ul,table{margin:0;padding:0}
h1{font-size:23pt;line-height:1.08;font-weight:720;overflow-wrap:anywhere}
h2{font-size:12pt;font-weight:720;margin:0 0 2mm;break-after:avoid}
section{margin-top:6mm;padding-top:2.5mm;border-top:.5pt solid ${WOOL_RULE}}
b,th{font-weight:720;text-align:left}
small,.quiet{color:${WOOL_QUIET};font-weight:420}
.sheet-head{display:flex;gap:8mm;justify-content:space-between;align-items:flex-start}
.sheet-head p{flex:none;max-width:60mm;text-align:right;color:${WOOL_QUIET}}
table{border-collapse:collapse;width:100%;font-variant-numeric:tabular-nums}
td,th{vertical-align:top;padding:.6mm 0 .6mm 2.5mm;overflow-wrap:break-word}
bdi{overflow-wrap:anywhere}
td:first-child,th:first-child{padding-left:0}
.figure{text-align:right;white-space:nowrap}
.sheet-lots{display:grid;grid-template-columns:repeat(2,minmax(0,1fr));gap:5mm 7mm}
.sheet-lot{display:grid;grid-template-columns:19mm minmax(0,1fr);gap:2.5mm;break-inside:avoid}
.sheet-colour{display:flex;flex-direction:column;align-items:center;gap:1mm}
.sheet-colour small{font-size:8pt}
.sheet-lot table{align-self:start}
.sheet-lot td:first-child{width:100%}
.sheet-lot td svg{margin-right:1.6mm;vertical-align:-1mm}
ul{list-style:none}
.sheet-facts li{padding:.5mm 0}
.sheet-steps thead{display:table-header-group}
.sheet-steps thead th{border-bottom:.75pt solid ${HAIRLINE};font-size:8.5pt}
.sheet-steps tr{break-inside:avoid}
.sheet-steps tbody td{border-bottom:.4pt solid ${WOOL_DEEP}}
.sheet-steps .n{width:7mm;color:${WOOL_QUIET}}
.sheet-steps .other td:first-child{box-shadow:inset .9mm 0 ${INK}}
.sheet-steps .other .n{padding-left:2mm}
.sheet-corrections td,.sheet-corrections th{width:33%}
.sheet-corrections thead th{border-bottom:.75pt solid ${HAIRLINE};font-size:8.5pt}
.sheet-corrections tr,.sheet-results li{break-inside:avoid}
.sheet-results li{display:grid;grid-template-columns:9mm minmax(0,1fr);align-items:start;padding:.8mm 0}
.difference{font-weight:720}
.sheet-note{white-space:pre-wrap;overflow-wrap:anywhere;padding:.6mm 0 .6mm 3mm;border-left:.75pt solid ${HAIRLINE}}
.sheet-note+.sheet-note{margin-top:1.5mm}
.sheet-cautions li{display:grid;grid-template-columns:9mm minmax(0,1fr);align-items:start;padding:.8mm 0;break-inside:avoid}
.sheet-end{display:grid;grid-template-columns:2fr 3fr;gap:0 7mm}
.sheet-deferral{break-before:avoid;margin-top:2mm;font-size:9pt;color:${WOOL_QUIET}}
p+p{margin-top:1.2mm}
`;
}
