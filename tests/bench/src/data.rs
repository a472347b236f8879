//! Invented settings, always the same ones for the same count.

use clampbook::quantity::Extent;
use clampbook::record::{Basis, Fastener, Joint, Kind, Method, Setting, SourceKind};
use clampbook::thread::Thread;

/// A thread that exactly ten settings have, whatever the count.
pub(crate) const RARE: &str = "M11x1.25";

const THREADS: [&str; 24] = [
    "M6x1", "M8x1.25", "M8x1", "M10x1.5", "M10x1.25", "M10x1", "M12x1.75", "M12x1.5", "M12x1.25",
    "M14x2", "M14x1.5", "M16x2", "1/4-20", "1/4-28", "5/16-18", "5/16-24", "3/8-16", "3/8-24",
    "7/16-14", "7/16-20", "1/2-13", "1/2-20", "9/16-18", "5/8-18",
];
const LUBES: [&str; 8] = [
    "dry", "oil", "moly", "anti-seize", "threadlocker", "sealant", "grease", "wax coating",
];
const STRENGTHS: [&str; 6] = ["8.8", "10.9", "12.9", "SAE 5", "SAE 8", "A2-70"];
const JOINTS: [&str; 12] = [
    "head", "main", "rod", "oil pan", "flywheel", "intake", "exhaust", "timing cover", "water pump",
    "damper", "rocker", "clutch",
];
const PARTS: [&str; 10] = [
    "bolt, short", "bolt, long", "stud, long", "stud, short", "nut", "screw, 12-point", "bolt, front",
    "bolt, rear", "stud, centre", "cap screw",
];
const NOTES: [&str; 6] = [
    "Clean the hole with a brush and dry it with air before the bolt goes in; check the depth.",
    "Pull in three equal steps and once more round the pattern; lubricate threads and the face.",
    "The front two open into the water jacket: sealant on the threads, wipe off what is left over.",
    "Chamfer of the washer up. Do not mix with the washers of the rear joint, which are thinner.",
    "Length is under the head. Measure before use and throw away what has grown past the limit.",
    "Seen worn in two of five machines; replace when the blackening under the head is gone.",
];

/// A small generator of numbers (splitmix64): the data must not change with a
/// library.
pub(crate) struct Mix(pub(crate) u64);

impl Mix {
    fn next(&mut self) -> usize {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        (z ^ (z >> 31)) as usize
    }

    fn pick<'a>(&mut self, list: &[&'a str]) -> &'a str {
        list[self.next() % list.len()]
    }
}

/// Fasteners with `count` settings altogether, two each on average.
pub(crate) fn fasteners(count: usize) -> impl Iterator<Item = Fastener> {
    let (mut made, mut at, mut rare) = (0, 0, 0);
    std::iter::from_fn(move || {
        if made >= count {
            return None;
        }
        let mut mix = Mix(at as u64);
        let mut settings = (1 + mix.next() % 3).min(count - made);
        let mut fastener = fastener(at, &mut mix);
        // Ten fasteners with one setting each, spread evenly, have the rare thread.
        if rare < 10 && made * 10 >= rare * count {
            rare += 1;
            settings = 1;
            fastener.thread = Thread::parse(RARE).ok();
            fastener.hole_thread = None;
        }
        let thread = fastener.thread.as_ref().map_or(10.0, |thread| thread.nominal().mm());
        fastener.settings =
            (0..settings).map(|lube| setting(&mut mix, lube, thread)).collect();
        made += settings;
        at += 1;
        Some(fastener)
    })
}

/// The columns of [`row`].
pub(crate) const COLUMNS: [&str; 20] = [
    "assembly", "joint", "part", "kind", "part number", "count", "thread", "hole thread",
    "strength", "length", "lube", "method", "torque", "basis", "source", "page", "revision",
    "entered by", "tags", "notes",
];

/// One setting as a line of a spreadsheet.
pub(crate) fn row(f: &Fastener, s: &Setting) -> [String; COLUMNS.len()] {
    fn text<T: ToString>(value: Option<&T>) -> String {
        value.map(T::to_string).unwrap_or_default()
    }
    [
        f.joint.assembly.clone(),
        f.joint.name.clone(),
        f.part.clone(),
        text(f.kind.as_ref()),
        text(f.part_number.as_ref()),
        text(f.count.as_ref()),
        text(f.thread.as_ref()),
        text(f.hole_thread.as_ref()),
        text(f.strength.name.as_ref()),
        text(f.length.as_ref()),
        text(s.lube.as_ref()),
        s.method.to_string(),
        text(s.torque.as_ref()),
        s.basis.to_string(),
        text(s.source.title.as_ref()),
        text(s.source.page.as_ref()),
        text(s.source.revision.as_ref()),
        text(s.entered_by.as_ref()),
        f.tags.join(", "),
        text(f.notes.as_ref()),
    ]
}

fn fastener(at: usize, mix: &mut Mix) -> Fastener {
    // 96 fasteners to an assembly, each with a name of its own.
    let assembly = format!("Marlow {}", at / 96);
    let joint = Joint::named(assembly, JOINTS[at / 8 % JOINTS.len()]);
    let part = format!("{} {}", mix.pick(&PARTS), 1 + at % 8);
    let mut fastener = Fastener::new(joint, part);
    fastener.key = format!("{}-{at}", fastener.key);
    fastener.kind = Some(Kind::WORDS[mix.next() % 4].0);
    fastener.count = Some(2 + (mix.next() % 16) as u32);
    fastener.part_number = Some(format!("{}-{:05}", ["B", "S", "N"][mix.next() % 3], mix.next() % 90_000));
    fastener.thread = Thread::parse(mix.pick(&THREADS)).ok();
    if mix.next() % 5 == 0 {
        fastener.hole_thread = Thread::parse(mix.pick(&THREADS)).ok();
    }
    fastener.strength.name = Some(mix.pick(&STRENGTHS).to_owned());
    let length = format!("{} mm", 16 + mix.next() % 120);
    fastener.length = clampbook::quantity::Stated::parse(&length).ok();
    fastener.notes = Some(format!("{} Lot {}.", mix.pick(&NOTES), mix.next() % 5000));
    fastener.tags = vec![mix.pick(&["race", "street", "marine", "plant"]).to_owned()];
    fastener
}

/// A torque as bolts have it: with the cube of the diameter (mm), from half to
/// once and a half of what is usual.
fn setting(mix: &mut Mix, at: usize, diameter: f64) -> Setting {
    let mut setting = Setting::new(Method::Torque, Basis::Listed);
    setting.lube = Some(LUBES[(mix.next() % 3 + at * 3) % LUBES.len()].to_owned());
    let share = 0.5 + (mix.next() % 1000) as f64 / 1000.0;
    let torque = 0.045 * diameter.powi(3) * share;
    let torque = match mix.next() % 3 {
        0 => format!("{torque:.1} N·m"),
        1 => format!("{:.0} lb-ft", torque / 1.3558 + 1.0),
        _ => format!("{torque:.0} N·m"),
    };
    setting.torque = Extent::parse(&torque).ok();
    setting.source.title = Some(format!("Sheet {}, heads and mains", mix.next() % 4000));
    setting.source.page = Some((1 + mix.next() % 40).to_string());
    setting.source.revision = Some(["A", "B", "C"][mix.next() % 3].to_owned());
    setting.source.kind = Some(SourceKind::Maker);
    setting.entered_by = Some(mix.pick(&["jo", "sam", "lee"]).to_owned());
    setting
}
