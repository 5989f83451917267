/**
 * The look of a printed page: paper-like ground, ink, tabular figures; the colour of the liquid is the only strong colour.
 * Danger is marked by frame and words, not by colour, and survives black-and-white print.
 */
export const PAGE_STYLE = `
:root{color-scheme:light}
*{box-sizing:border-box}
html{-webkit-text-size-adjust:100%}
body{margin:0 auto;padding:1.25rem 1rem 4rem;max-width:58rem;background:#faf8f3;color:#1d1d1b;
 font:16px/1.45 "Source Sans 3","Source Sans Pro","Noto Sans",system-ui,"Segoe UI","DejaVu Sans",sans-serif;
 font-variant-numeric:tabular-nums lining-nums;overflow-wrap:break-word}
nav{display:flex;flex-wrap:wrap;gap:.25rem 1.25rem;margin:0 0 1.5rem;font-size:.9rem}
nav a{color:inherit;text-underline-offset:.2em}
h1{font-size:1.7rem;line-height:1.2;margin:0 0 .7rem;font-weight:600}
h2{font-size:1.2rem;line-height:1.25;margin:2rem 0 .5rem;padding-bottom:.15rem;border-bottom:1px solid #1d1d1b;font-weight:600}
h3{font-size:1rem;margin:1.4rem 0 .3rem;font-weight:600}
p{margin:.5rem 0;max-width:46rem}
ul,ol{margin:.4rem 0 1rem;padding-left:1.5rem;max-width:46rem}
li{margin:.15rem 0}
.under{margin:.1rem 0;font-size:.9rem;color:#444}
.danger{border:2px solid #1d1d1b;border-left-width:10px;padding:.5rem .9rem .6rem;margin:0 0 1.4rem;background:#fff;font-size:.84rem;line-height:1.38}
.danger .mark{margin:0;font-weight:700;font-size:1rem;letter-spacing:.02em}
.danger .grade{margin:.45rem 0 .1rem;font-weight:700;break-after:avoid;max-width:none}
.danger .many{columns:24rem 2;column-gap:1.6rem}
.danger ul{margin:0;padding-left:1rem;max-width:none}
.danger li{margin:0 0 .2rem}
.danger .run{margin:0;max-width:none}
.danger b{font-weight:600}
.dot{padding:0 .2em}
.scroll{overflow-x:auto}
table{border-collapse:collapse;margin:.4rem 0 1.1rem;font-size:.94rem;min-width:50%}
caption{text-align:left;color:#444;padding:.2rem 0;font-size:.9rem}
th,td{padding:.22rem 1.1rem .22rem 0;vertical-align:baseline;text-align:left;border-bottom:1px solid #d8d3c6}
th:last-child,td:last-child{padding-right:0}
th{font-weight:600;border-bottom:1px solid #1d1d1b;line-height:1.25}
.right{text-align:right;white-space:nowrap}th.right{white-space:normal}
sub,sup{font-size:.72em;line-height:0}
figure{margin:.9rem 0 1.3rem}
figcaption{font-size:.9rem;color:#444;margin-bottom:.3rem}
svg{display:block}
.narrow{display:none}
footer{margin-top:2rem;padding-top:.4rem;border-top:1px solid #d8d3c6;font-size:.8rem;color:#555}
section.paper+section.paper{margin-top:4rem}
@media (max-width:40rem){h1{font-size:1.4rem}.wide{display:none}.narrow{display:block}th,td{padding-right:.8rem}table{font-size:.88rem}ul,ol{padding-left:1.2rem}}
@media print{@page{margin:11mm 14mm}html{font-size:10pt}body{background:#fff;padding:0;max-width:none;font-size:10pt}
 nav{display:none}.wide{display:block}.narrow{display:none}
 .danger{font-size:7pt;line-height:1.28;break-inside:auto}.danger .mark{font-size:10pt}.danger .many{columns:2;column-gap:6mm}.danger li{break-inside:auto;margin:0 0 .1rem}.danger .grade{margin:.25rem 0 0}.danger{margin-bottom:.8rem;padding:.3rem .6rem}
 section.paper{break-before:page}section.paper:first-of-type{break-before:auto}section.paper+section.paper{margin-top:0}
 h2{margin-top:1.1rem}footer{margin-top:.3rem;padding-top:.2rem;font-size:7pt;break-before:avoid}p,ul,ol{max-width:none}.under{font-size:9pt}
 tr,figure,li{break-inside:avoid}h1,h2,h3,caption{break-after:avoid}
 rect{-webkit-print-color-adjust:exact;print-color-adjust:exact}}
`
