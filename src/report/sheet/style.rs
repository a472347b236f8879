//! How a sheet looks: print first, black on white, no colour needed.
//!
//! Every length is in em of the page, so that a page is as large as it can be
//! and still one page: its font size is chosen by [`crate::report::sheet::fit`].

use crate::report::sheet::Paper;

/// Margins of the paper, mm.
const MARGIN_MM: f64 = 10.0;

/// The paper and what its margins leave, mm.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Area {
    size: &'static str,
    pub(crate) width_mm: f64,
    /// Down, a little less than there is: a page stretched to its foot must
    /// not spill over.
    pub(crate) height_mm: f64,
}

/// What a page has room for.
pub(crate) fn area(paper: Paper) -> Area {
    match paper {
        Paper::A4 => Area { size: "210mm 297mm", width_mm: 190.0, height_mm: 274.0 },
        Paper::Letter => Area { size: "8.5in 11in", width_mm: 195.0, height_mm: 257.0 },
    }
}

/// The style of a sheet on `paper`.
pub(crate) fn css(paper: Paper) -> String {
    let Area { size, width_mm, height_mm } = area(paper);
    format!(
        "@page{{size:{size};margin:{MARGIN_MM}mm}}\n\
         .page{{width:{width_mm}mm;min-height:{height_mm}mm}}\n{RULES}"
    )
}

const RULES: &str = "\
*{box-sizing:border-box;margin:0;padding:0}
body{font:11pt/1.25 sans-serif;color:#000;background:#fff}
.page{display:flex;flex-direction:column;gap:.75em;margin:0 auto;break-after:page}
.page:last-child{break-after:auto}
@media screen{.page{margin:2em auto;padding-bottom:2em;border-bottom:1px dashed #000}}
.head{display:flex;justify-content:space-between;align-items:flex-end;gap:2em;border-bottom:.3em solid #000;padding-bottom:.4em}
.head .assembly{font-size:1.2em}
.head h1{font-size:2.7em;line-height:1;overflow-wrap:anywhere}
.head .blanks{flex:0 0 17em}
.blank{display:flex;align-items:flex-end;gap:.5em;font-size:1em;min-height:2em}
.blank i{flex:1;border-bottom:.08em solid #000;min-width:3em}
.warn{border:.24em solid #000;padding:.35em .6em}
.warn h2{float:left;font-size:1em;letter-spacing:.12em;margin-right:1em}
.warn ul,.must,.passes,.after{list-style:none}
.warn li,.must li{font-weight:bold;overflow-wrap:anywhere;padding-left:1em;text-indent:-1em}
.warn li::before,.must li::before{content:'!';display:inline-block;width:1em;text-indent:0}
.map{break-inside:avoid}
.map svg{display:block;max-width:100%;margin:0 auto}
.map figcaption{font-size:1em;overflow-wrap:anywhere}
.map .rule{font-weight:bold;font-size:1.15em}
.hole-ring{fill:#fff;stroke:#000;stroke-width:.13}
.hole-ring.first{stroke-width:.36}
.hole-number{font-weight:bold;text-anchor:middle}
.part{break-inside:avoid;border-top:.14em solid #000;padding-top:.35em}
.part>h2{font-size:1.35em;line-height:1.15;overflow-wrap:anywhere}
.part>h2 small{font-size:1em;font-weight:normal}
.part>h2 svg{width:1em;height:1em;vertical-align:-.14em}
.discard{display:inline-block;border:.2em solid #000;font-weight:bold;font-size:1.2em;padding:0 .5em;margin:.15em 0}
.pull{break-inside:avoid}
.pull+.pull{margin-top:.5em}
.value{display:flex;flex-wrap:wrap;align-items:baseline;column-gap:.9em}
.value .torque{font-size:2.15em;font-weight:bold;line-height:1.15}
.adapted .value .torque{font-size:1.3em}
.value .other{font-size:1.25em}
.value .basis{border:.12em solid #000;padding:0 .4em;font-weight:bold}
.value .basis.estimate{border-style:dashed}
.value .lube{flex:1 1 11em;font-size:1.2em;font-weight:bold;overflow-wrap:anywhere}
.passes{display:flex;flex-wrap:wrap;gap:.5em;margin:.25em 0}
.passes li{flex:0 0 auto;min-width:9.3em;border:.12em solid #000;padding:.25em .4em;display:grid;grid-template-columns:auto 1fr auto;column-gap:.4em;align-items:baseline;break-inside:avoid}
.passes .n{font-size:1em}
.passes b{font-size:1.9em;line-height:1.1;white-space:nowrap}
.passes b.words{font-size:1.1em;white-space:normal}
.passes .one b{grid-column:1/3}
.passes .tick{align-self:start}
.passes .second{grid-column:1/-1;white-space:nowrap}
.passes .small{grid-column:1/-1;font-size:1em;max-width:11em}
.passes .notes b{font-size:1em;white-space:normal}
.passes li.notes{flex:1 1 11em;border:0;padding:0;display:block;align-self:center}
.tick{display:inline-block;width:1.3em;height:1.3em;border:.14em solid #000;background:#fff;vertical-align:-.2em}
.notes{font-size:1em;overflow-wrap:anywhere}
.after{font-size:1em;overflow-wrap:anywhere}
.after li{display:flex;gap:.5em;align-items:flex-start;margin-top:.2em}
.after .tick{flex:none;width:1.1em;height:1.1em}
.own{font-weight:bold;overflow-wrap:anywhere}
.grid{border-collapse:collapse;margin:.3em 0;break-inside:avoid;width:100%;table-layout:fixed}
.grid th,.grid td{border:.06em solid #000;height:1.9em;text-align:center;overflow:hidden}
.grid th:first-child{text-align:left;padding:0 .4em;font-weight:normal;white-space:nowrap;width:6.5em}
.grid .none{border:0}
.grid .tick{width:1.1em;height:1.1em;border-width:.08em}
.grown{border-collapse:collapse;margin:.3em 0;font-size:1em;break-inside:avoid}
.grown th,.grown td{border:.06em solid #000;height:1.9em;text-align:center;width:3.1em}
.grown th:first-child{text-align:left;padding:0 .4em;font-weight:normal;white-space:nowrap;width:9.5em}
.struck{text-decoration:line-through}
.record{display:grid;grid-template-columns:repeat(3,1fr);column-gap:1.6em;border-top:.3em solid #000;margin-top:auto;break-inside:avoid}
.record .two{grid-column:span 2}
.record .wide{grid-column:1/-1}
.foot{font-size:1em;break-inside:avoid}
.foot b{font-size:1.1em}
.cards{flex-flow:row wrap;align-content:flex-start;gap:4mm;font-size:10pt}
.card{width:92mm;min-height:124mm;border:.25mm dashed #000;padding:3mm;display:flex;flex-direction:column;break-inside:avoid}
.card h1{font-size:1.45em;line-height:1.1;border-bottom:.18em solid #000;overflow-wrap:anywhere}
.card .line{border-bottom:.06em solid #000;padding:.2em 0;break-inside:avoid}
.card .what{font-size:1em;overflow-wrap:anywhere}
.card .torque{font-size:1.4em;font-weight:bold;line-height:1.1}
.card .adapted .torque{font-size:1em}
.card .adapted .set{font-size:1.4em}
.card .other{font-size:1em}
.card .lube{font-weight:bold;overflow-wrap:anywhere}
.card .foot{margin-top:auto;padding-top:.5em;font-size:1em}
";
