#include "report/html_style.h"

namespace scrapetrace::report {

// Text contrast is at least 7 to 1 in both colour schemes (WCAG 2.1, success criterion 1.4.6). Drawings keep
// a light background: they show paper.
std::string_view common_style() {
  static constexpr std::string_view kStyle = R"(
:root{--ink:#1c2733;--soft:#46535e;--paper:#fff;--ground:#f6f5f1;--rule:#c5ccd1;--warn:#8f1d17;--warnback:#fdf1ee;--lit:#8a4b00;--link:#1d4f74}
@media (prefers-color-scheme:dark){:root{--ink:#e9edf0;--soft:#b9c4cc;--paper:#1d252c;--ground:#13191e;--rule:#44525d;--warn:#ffb3a7;--warnback:#2b1c1b;--lit:#ffbf66;--link:#9fd0f2}}
*{box-sizing:border-box}
html{background:var(--ground);color:var(--ink);font:16px/1.5 system-ui,"DejaVu Sans","Liberation Sans",sans-serif;-webkit-text-size-adjust:100%}
body{margin:0 auto;max-width:64rem;padding:1.2rem 1rem 3rem}
header{border-bottom:3px solid var(--ink);padding-bottom:1rem;margin-bottom:1.2rem}
h1{font-size:1.75rem;line-height:1.2;margin:.2rem 0 .8rem;text-wrap:balance;overflow-wrap:anywhere}
h2{font-size:1.2rem;margin:2rem 0 .6rem;padding-top:.2rem}
h3{font-size:1.02rem;margin:0 0 .4rem}
p,ul,ol,dl{margin:.4rem 0}
li{margin:.25rem 0}
a{color:var(--link)}
.kicker{color:var(--soft);margin:0;font-size:.9rem}
.verdict{display:inline-block;border:2px solid currentColor;padding:.05rem .5rem;font-weight:700;font-size:.85rem;letter-spacing:.04em}
nav ul{list-style:none;padding:0;display:flex;flex-wrap:wrap;gap:.2rem 1.1rem;font-size:.92rem}
dl.facts{display:grid;grid-template-columns:minmax(7rem,max-content) 1fr;gap:.15rem 1rem}
dl.facts dt{color:var(--soft)}
dl.facts dd{margin:0;overflow-wrap:anywhere}
.caution{border:2px solid var(--warn);background:var(--warnback);margin:1.2rem 0;padding:.2rem 1rem .6rem}
.caution h2{margin:.5rem 0 .2rem;color:var(--warn)}
.never{color:var(--warn);font-weight:700}
article{background:var(--paper);border:1px solid var(--rule);padding:.9rem 1rem;margin:.8rem 0}
figure{margin:0}
figure.wide{overflow-x:auto;background:#f6f5f1;border:1px solid var(--rule)}
figure.wide svg{display:block;width:100%;min-width:44rem;height:auto}
figure.profile svg{display:block;width:100%;max-width:36rem;height:auto;background:#fff}
figcaption{color:var(--soft);font-size:.88rem;padding:.4rem 0}
figure.wide~p{color:var(--soft);font-size:.88rem}
.pair{display:grid;gap:1rem}
.pair dl.facts{display:block}
.pair dl.facts dt{font-size:.88rem;margin-top:.35rem}
table{border-collapse:collapse;width:100%;font-size:.94rem}
th,td{text-align:left;vertical-align:top;padding:.3rem .6rem .3rem 0;border-bottom:1px solid var(--rule);overflow-wrap:anywhere}
th{font-weight:600}
th[scope=col]{overflow-wrap:normal}
td[data-name=Where]{width:27%}
.keys th[scope=row],table.causes td{overflow-wrap:break-word}
.narrow{display:none;color:var(--soft);font-size:.88rem}
/* On a phone a row becomes a card; its cells say which column they were. */
@media screen and (max-width:44rem){
.narrow{display:block}
.cards,.cards tbody,.cards tr,.cards th,.cards td{display:block}
.cards thead{position:absolute;clip-path:inset(50%)}
.cards td.number:first-child{float:left;margin-right:.5rem}
.cards td:empty{display:none}
.cards td[data-name]{width:auto}
.cards tr{background:var(--paper);border:1px solid var(--rule);padding:.5rem .8rem;margin:.6rem 0}
.cards tr>*{border:0;padding:.1rem 0}
.cards td[data-name]::before{content:attr(data-name) ": ";color:var(--soft)}
}
tr.bad{background:var(--warnback)}
tr.bad>:first-child{border-left:6px solid var(--warn);padding-left:.5rem}
tr.open>:first-child{border-left:6px double var(--lit);padding-left:.5rem}
td.number,td.role{white-space:nowrap;font-variant-numeric:tabular-nums}
.bar{display:inline-block;width:7rem;height:.7rem;vertical-align:-.05rem;margin-right:.5rem}
h3+dl,h3+p{margin-top:.2rem}
table+h3,dl+h3{margin-top:1.2rem}
code,.hash{font-family:ui-monospace,"DejaVu Sans Mono",monospace;font-size:.82rem;overflow-wrap:anywhere}
pre{white-space:pre-wrap;overflow-wrap:anywhere;background:var(--paper);border:1px solid var(--rule);padding:.6rem}
dl.words{columns:19rem;column-gap:2rem}
dl.words dd{break-inside:avoid}
dl.words dt{break-after:avoid;font-weight:600;margin-top:.4rem}
dl.words dd{margin:0}
svg a:focus-visible{outline:none}
.halo>rect{pointer-events:all}
@media (min-width:52rem){.pair{grid-template-columns:minmax(0,36rem) minmax(16rem,1fr)}}
@media print{
@page{size:A4;margin:14mm}
:root{--ink:#000;--soft:#333;--paper:#fff;--ground:#fff;--rule:#999;--warn:#8f1d17;--warnback:#fff;--lit:#8a4b00;--link:#000}
html{font-size:10pt;background:#fff}
body{max-width:none;padding:0}
nav{display:none}
a{text-decoration:none}
h1{font-size:16pt}
h2{break-after:avoid;margin-top:5mm}
h3{break-after:avoid}
figure,tr,li,.caution{break-inside:avoid}
thead,tbody>tr:first-child{break-after:avoid}
figure.wide{overflow:visible;border:0}
figure.wide svg{min-width:0;max-height:165mm}
.screen{display:none}
.pair .bar{width:4rem}
article{break-inside:avoid;border-color:#999}
.pair{grid-template-columns:118mm 1fr}
dl.words{font-size:9pt}
}
)";
  return kStyle;
}

}  // namespace scrapetrace::report
