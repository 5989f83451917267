/**
 * The look of papers: paper-like ground, ink, tabular figures; the colour of the liquid is the only strong colour.
 * Danger is marked by frame and words, not by colour, and survives black-and-white print.
 *
 * Lengths are multiples of --u, the size of running text: 16 px on a screen, 10 pt on paper. So the same rules serve a page of its own
 * and a place inside another page, where the root's letters are not ours.
 */
const FONT = '"Source Sans 3","Source Sans Pro","Noto Sans",system-ui,"Segoe UI","DejaVu Sans",sans-serif'

/** Every rule below as multiples of --u: "1.5u" is written for calc(var(--u)*1.5). */
const inUnits = (rules: string): string => rules.replace(/(-?(?:\d+\.?\d*|\.\d+))u\b/g, (_, n: string) => `calc(var(--u)*${n})`)

/** The blocks of a paper, on any ground. */
export const CONTENT_STYLE = inUnits(`
*{box-sizing:border-box}
.paper{font:1u/1.45 ${FONT};font-variant-numeric:tabular-nums lining-nums;overflow-wrap:break-word;color:#1d1d1b}
h1{font-size:1.7u;line-height:1.2;margin:0 0 .7u;font-weight:600}
h2{font-size:1.2u;line-height:1.25;margin:2u 0 .5u;padding-bottom:.15u;border-bottom:1px solid #1d1d1b;font-weight:600}
h3{font-size:1u;margin:1.4u 0 .3u;font-weight:600}
p{margin:.5u 0;max-width:46u}
ul,ol{margin:.4u 0 1u;padding-left:1.5u;max-width:46u}
li{margin:.15u 0}
.under{margin:.1u 0;font-size:.9u;color:#444}
.danger{border:2px solid #1d1d1b;border-left-width:10px;padding:.5u .9u .6u;margin:0 0 1.4u;background:#fff;font-size:.84u;line-height:1.38}
.danger .mark{margin:0;font-weight:700;font-size:1u;letter-spacing:.02em}
.danger .grade{margin:.45u 0 .1u;font-weight:700;break-after:avoid;max-width:none}
.danger .many{columns:24u 2;column-gap:1.6u}
.danger ul{margin:0;padding-left:1u;max-width:none}
.danger li{margin:0 0 .2u}
.danger .run p{margin:0 0 .15u;max-width:none}
.danger b{font-weight:600}
.scroll{overflow-x:auto}
table{border-collapse:collapse;margin:.4u 0 1.1u;font-size:.94u;min-width:50%}
caption{text-align:left;color:#444;padding:.2u 0;font-size:.9u}
th,td{padding:.22u 1.1u .22u 0;vertical-align:baseline;text-align:left;border-bottom:1px solid #d8d3c6}
th:last-child,td:last-child{padding-right:0}
th{font-weight:600;border-bottom:1px solid #1d1d1b;line-height:1.25}
.right{text-align:right;white-space:nowrap}th.right{white-space:normal}
table.dense{font-size:.8u}table.dense th,table.dense td{padding-right:.6u}
sub,sup{font-size:.72em;line-height:0}
figure{margin:.9u 0 1.3u}
figcaption{font-size:.9u;color:#444;margin-bottom:.3u}
svg{display:block}
.narrow{display:none}
.fields{display:grid;grid-template-columns:repeat(auto-fit,minmax(14u,1fr));gap:0 2u;margin:.6u 0 1u}
.fields p{max-width:none;margin:0;padding-top:1.5u;border-bottom:1px solid #1d1d1b}
.fields span{font-size:.85u;color:#444}
table.cues{width:100%;font-size:1.25u;line-height:1.2;margin-bottom:0}
table.cues.middling{font-size:1.1u}table.cues.small{font-size:.95u}
.cues th{font-size:.85u;color:#444}
.cues td{padding-top:.29em;padding-bottom:.29em}
.cues .at{font-weight:700;font-size:1.28em;padding-top:.1em;padding-bottom:.1em;white-space:nowrap;text-align:right}
.cues .kind{font-size:.85u;color:#444;white-space:nowrap}
.cues .what{width:42%}
.cues .pour .what{font-weight:600}
.cues .between{display:block;font-size:.76em;color:#444;font-weight:400}
.cues .say{width:38%;border-left:1px solid #d8d3c6;padding-left:.8u}
.cues .said{display:block;font-size:.76em;line-height:1.25}
.cues .said+.own{display:block;height:1em;border-bottom:1px dotted #888}
.checks{columns:2 24u;column-gap:2.4u;margin-top:.6u}
table.checked{width:100%;line-height:1.3;margin:0 0 .9u}
.checked caption{font-weight:600;color:inherit;border-bottom:1px solid #1d1d1b}
.checked td{padding-top:.13u;padding-bottom:.13u}
.code,.codes b{font-family:ui-monospace,"DejaVu Sans Mono",monospace;font-weight:400}
.checked .code{text-align:right;width:2.6u;letter-spacing:.08em}
.codes{letter-spacing:.04em;overflow-wrap:anywhere;max-width:none}
footer{margin-top:2u;padding-top:.4u;border-top:1px solid #d8d3c6;font-size:.8u;color:#555}
`)

/** A page of its own on a screen. */
export const FILE_STYLE = `
:root{color-scheme:light;--u:16px}
html{-webkit-text-size-adjust:100%}
body{margin:0 auto;padding:1.25rem 1rem 4rem;max-width:58rem;background:#faf8f3;color:#1d1d1b;font:16px/1.45 ${FONT}}
nav{display:flex;flex-wrap:wrap;gap:.25rem 1.25rem;margin:0 0 1.5rem;font-size:.9rem}
nav a{color:inherit;text-underline-offset:.2em}
section.paper+section.paper{margin-top:4rem}
@media screen{.label-page{outline:1px solid #d8d3c6;margin-top:1.5rem}.label{outline:1px dotted #999}.label-page,.scroll{max-width:100%;overflow-x:auto}}
@media screen and (max-width:40rem){.paper h1{font-size:1.4rem}.paper .wide{display:none}.paper .narrow{display:block}.paper th,.paper td{padding-right:.8rem}.paper table{font-size:.88rem}.paper ul,.paper ol{padding-left:1.2rem}}
@media print{body{background:#fff;padding:0;max-width:none;font-size:10pt}nav{display:none}section.paper+section.paper{margin-top:0}}
`

/** What paper needs beyond the content; stands behind it. */
export const PRINT_STYLE = inUnits(`
.wide{display:block}.narrow{display:none}
.danger{font-size:7pt;line-height:1.28;break-inside:auto;margin-bottom:.8u;padding:.3u .6u}.danger .mark{font-size:10pt}.danger .many{columns:2;column-gap:6mm}.danger li{break-inside:auto;margin:0 0 .1u}.danger .grade{margin:.25u 0 0}.danger .run p{break-inside:avoid}
section.paper{break-before:page}section.paper:first-of-type{break-before:auto}
h2{margin-top:1.1u}footer{margin-top:.3u;padding-top:.2u;font-size:7pt;break-before:avoid}p,ul,ol{max-width:none}p{margin:.35u 0}ul,ol{margin:.25u 0 .6u}li{margin:.1u 0}figure{margin:.6u 0 .8u}.under{font-size:9pt;margin:.05u 0}
tr,figure,li{break-inside:avoid}h1,h2,h3,caption{break-after:avoid}
.fields{break-before:avoid;break-inside:avoid}
.scroll{overflow:visible}thead{break-inside:avoid;break-after:avoid}tbody tr:first-child{break-before:avoid}table.dense .right{white-space:normal}
.cautions .danger{font-size:8.5pt}.cautions table{font-size:.84u}.fields p{padding-top:1.3u}.checked{font-size:.88u}
rect{-webkit-print-color-adjust:exact;print-color-adjust:exact}
`)

/** The sheet of paper. */
export const PAGE_RULES = '@page{margin:11mm 14mm}'
