//! What the notes of a row say where no column does.

use crate::intake::cells::{Tightening, passes_in_words, strength_named, turn_at};
use crate::intake::draft::Draft;
use crate::intake::fields::LONGEST_VALUE;
use crate::intake::finish::{Around, RowNotes};
use crate::intake::lube_words::lube_in_words;
use crate::intake::names::Names;
use crate::intake::once_words;
use crate::intake::row::{CellNote, CellOutcome, RowReading};
use crate::intake::survey::Given;
use crate::intake::verdict::Remark;
use crate::intake::words;
use crate::quantity::{Angle, Quantity, Stated};
use crate::record::{Kind, Pass, Reuse, Tables};
use crate::text::QuickMap;
use crate::thread::Thread;

/// How many different notes are remembered at a time.
const REMEMBERED: usize = 4096;

/// No name of a lube or a grade is longer.
const LONGEST_NAME: usize = 40;

/// What was found in notes, each looked through once: rows of one fastener mostly have
/// the same.
#[derive(Debug)]
pub(crate) struct Found<T>(QuickMap<String, T>);

impl<T> Default for Found<T> {
    fn default() -> Self {
        Self(QuickMap::default())
    }
}

impl<T: Clone> Found<T> {
    pub(crate) fn found(&mut self, note: &str, find: impl FnOnce(&str) -> T) -> T {
        if let Some(known) = self.0.get(note) {
            return known.clone();
        }
        let fresh = find(note);
        if self.0.len() == REMEMBERED {
            self.0.clear();
        }
        if note.len() <= LONGEST_VALUE {
            self.0.insert(note.to_owned(), fresh.clone());
        }
        fresh
    }
}

/// What the notes of a file say.
#[derive(Debug, Default)]
pub(crate) struct NotesSaid {
    words: Found<Said>,
    alone: Found<Alone>,
    sentences: Found<Sentence>,
    /// The figures of steps, see [`crate::intake::passes::steps_in_words`].
    pub(crate) steps: Found<Option<Vec<u32>>>,
}

/// What the words of a note say.
#[derive(Debug, Clone, Copy, Default)]
struct Said {
    /// What is used once.
    once: Option<Kind>,
    is_left: bool,
    is_old: bool,
    passes: Option<u32>,
    angle: Option<Stated<Angle>>,
}

/// What is said within a sentence of a note, in lower case and without accents: the same
/// sentence stands in many notes that differ by a figure in another.
#[derive(Debug, Clone, Copy, Default)]
#[expect(clippy::struct_excessive_bools, reason = "each is one thing that words may say")]
struct Sentence {
    once: Option<Kind>,
    is_left: bool,
    /// `Left hand`, which is of the thread where the note speaks of one.
    is_of_left: bool,
    is_of_thread: bool,
    is_old: bool,
    /// It has a word for a turn, for a step.
    turns: bool,
    steps: bool,
}

/// None of the texts that are looked for goes on behind one of these.
const SENTENCE_ENDS: [char; 3] = [',', ';', '.'];

impl Sentence {
    fn new(sentence: &str) -> Self {
        let has = |texts: &[&str]| texts.iter().any(|text| sentence.contains(text));
        Self {
            once: once_words::says_once(sentence),
            is_left: has(words::LEFT_HAND),
            is_of_left: has(&["left hand", "left-hand"]),
            is_of_thread: has(&["thread"]),
            is_old: has(words::SUPERSEDED),
            turns: has(TURNS),
            steps: words::plain_words(sentence).split([' ', '(', ')']).any(words::says_steps),
        }
    }

    fn and(self, other: Self) -> Self {
        // Of several kinds of which one is used once, a bolt goes first.
        let other_goes_first = other.once == Some(Kind::Bolt) || self.once.is_none();
        Self {
            once: if other_goes_first { other.once } else { self.once },
            is_left: self.is_left || other.is_left,
            is_of_left: self.is_of_left || other.is_of_left,
            is_of_thread: self.is_of_thread || other.is_of_thread,
            is_old: self.is_old || other.is_old,
            turns: self.turns || other.turns,
            steps: self.steps || other.steps,
        }
    }
}

impl Said {
    fn new(note: &str, sentences: &mut Found<Sentence>) -> Self {
        let folded = words::without_accents(&note.to_lowercase());
        let each = folded.split(SENTENCE_ENDS).map(|one| sentences.found(one, Sentence::new));
        let all = each.fold(Sentence::default(), Sentence::and);
        let passes = all.steps.then(|| passes_in_words(note)).flatten();
        let angle = all.turns.then(|| angle_in_words(&folded)).flatten();
        let last = folded.rsplit_once(": ").map(|(_, cell)| cell);
        if matches!(last, Some("no" | "n" | "nein" | "non")) {
            // `Schrauben ersetzen: nein`, kept from a column, says the other thing.
            return Self { passes, angle, ..Self::default() };
        }
        let is_left = all.is_left || all.is_of_left && all.is_of_thread;
        let is_old = all.is_old || words::OLD_STATE.contains(&last.unwrap_or(&folded).trim());
        Self { once: all.once, is_left, is_old, passes, angle }
    }
}

/// What words say where no column does: a fastener that is thrown away, a left-hand
/// thread, what the part is. An export has it in its columns.
pub(crate) fn said_in_words(
    draft: &mut Draft,
    around: Around,
    said: &mut NotesSaid,
    notes: &mut RowNotes,
) {
    let mut all = Said::default();
    let names = || [&draft.fastener.part, &draft.fastener.joint.name];
    let of_names = || names().into_iter().find_map(|name| words::kind_in(name));
    let own = draft.fastener.kind.or(draft.kind).or_else(of_names);
    // A new nut leaves the bolt in it, and a new stud its nut.
    let is_own =
        |kind: &Kind| *kind == Kind::Bolt || (*kind == Kind::Nut) == (own == Some(Kind::Nut));
    for note in &draft.notes {
        let one = said.words.found(note, |note| Said::new(note, &mut said.sentences));
        all = Said {
            once: all.once.or(one.once.filter(is_own)),
            is_left: all.is_left || one.is_left,
            is_old: all.is_old || one.is_old,
            passes: all.passes.or(one.passes),
            angle: all.angle.or(one.angle),
        };
    }
    let fastener = &mut draft.fastener;
    if around.infers_reuse && fastener.reuse.is_none() && all.once.is_some() {
        fastener.reuse = Some(Reuse::SingleUse);
        notes.echo("reuse", "single-use", "the notes say that it is used once: single-use");
    }
    if draft.passes.is_none()
        && let Some(count) = all.passes
    {
        draft.passes = Some(Tightening { count: Some(count), ..Tightening::default() });
    }
    if fastener.thread.is_none() && !around.given.is_typed {
        fastener.thread = thread_in_names(&fastener.part, notes)
            .or_else(|| thread_in_names(&fastener.joint.name, notes));
    }
    if draft.angle.is_none()
        && let Some(angle) = all.angle
        && !draft.torques.iter().any(|one| !one.angles.is_empty())
        && !draft.numbered.iter().any(|(_, pass)| matches!(pass, Pass::Turn(_)))
    {
        draft.angle = Some(Tightening { angles: vec![angle], ..Tightening::default() });
        let reason = format!("the notes say that it is turned by {angle} after the torque");
        notes.warn("angle", "angle-in-notes", &reason, "give the angle a column of its own");
    }
    if !draft.setting.superseded && all.is_old {
        draft.setting.superseded = true;
        notes.echo("superseded", "superseded", "the notes say that it no longer holds: superseded");
    }
    let right_hand = fastener.thread.take_if(|thread| !thread.is_left_hand() && all.is_left);
    if let Some(thread) = right_hand {
        fastener.thread = Some(thread.with_hand(true));
        notes.echo("thread", "left-hand", "the notes say that the thread is left-hand");
    }
    if around.infers_kind && !around.given.is_typed {
        fastener.kind = fastener.kind.or(draft.kind);
    }
}

/// One of these stands in every turn that [`angle_in_words`] finds.
const TURNS: &[&str] = &["°", "deg", "grad", "turn", "giro", "tour", "vuelta", "umdreh"];

/// `then 90°`, `turn another 60 deg`, `quarter turn more` in a folded note: a turn after the
/// torque. `At 90°` is none, nor is what is backed off.
fn angle_in_words(folded: &str) -> Option<Stated<Angle>> {
    folded.split([',', ';', '.', '(', ')']).find_map(|part| {
        let part = part.trim();
        let starts = part.char_indices().filter(|(at, _)| {
            let before = part[..*at].chars().next_back();
            before.is_none_or(|c| c.is_whitespace() || c == '+')
        });
        starts.map(|(at, _)| at).find_map(|at| {
            let (degrees, length) = turn_at(&part[at..])?;
            let (before, after) = (&part[..at], part[at + length..].trim_start());
            let is_so = words::leads_to_turn(before, after) && (1.0..=720.0).contains(&degrees);
            let angle = is_so.then(|| Quantity::parse(&format!("{degrees}°")).ok()).flatten()?;
            Stated::<Angle>::new(angle).ok()
        })
    })
}

/// What remarks name and are nothing but: `8.8, dry`.
#[derive(Debug, Clone, Default)]
struct Alone {
    lube: Option<String>,
    grade: Option<String>,
}

impl Alone {
    fn new(note: &str, names: &Names) -> Self {
        let mut alone = Self::default();
        let is_short = |piece: &&str| piece.len() < LONGEST_NAME && !piece.contains(':');
        for piece in note.split([',', ';']).map(str::trim).filter(is_short) {
            // `Clean` may be what is to be done.
            let lube = names.lube_alone(piece).filter(|_| piece != "clean");
            let says = piece.contains('.') || piece.starts_with(char::is_alphabetic);
            let is_grade = says && piece.contains(|c: char| c.is_ascii_digit());
            alone.lube = alone.lube.or(lube.map(|lube| lube.name.clone()));
            alone.grade =
                alone.grade.or_else(|| is_grade.then(|| strength_named(piece, names)).flatten());
        }
        alone
    }
}

/// Takes the lube and the grade that remarks of the row name, where no column has one.
pub(crate) fn named_alone(
    reading: &mut RowReading,
    names: &Names,
    [has_lube, has_grade]: [bool; 2],
    said: &mut NotesSaid,
) {
    let draft = &mut reading.draft;
    let has_lube = has_lube
        || draft.setting.lube.is_some()
        || draft.torques.iter().any(|one| one.lube.is_some());
    let has_grade = has_grade || !draft.fastener.strength.is_unstated();
    if has_lube && has_grade {
        return;
    }
    for note in std::mem::take(&mut draft.notes) {
        let found = said.alone.found(&note, |note| Alone::new(note, names));
        draft.notes.push(note);
        let slots = [
            ("lube", has_lube, &mut draft.setting.lube, found.lube),
            ("strength", has_grade, &mut draft.fastener.strength.name, found.grade),
        ];
        for (what, has, slot, name) in slots {
            if let Some(name) = name.filter(|_| !has && slot.is_none()) {
                let remark =
                    Remark::echo("named-in-notes", format!("the notes name the {what}: {name}"));
                let outcome = CellOutcome::Taken { read_as: None, remarks: vec![remark] };
                reading.notes.push(CellNote { column: None, raw: String::new(), outcome });
                *slot = Some(name);
            }
        }
    }
}

/// The thread that a name says in full, `Hex screw M12x1.75`, where no cell states one.
fn thread_in_names(name: &str, notes: &mut RowNotes) -> Option<Thread> {
    let is_whole = |word: &&str| {
        let is_metric = word.starts_with('M') && word.contains(['x', 'X']);
        is_metric || word.contains('/') && word.contains('-')
    };
    let thread = name
        .split([' ', ',', '(', ')'])
        .filter(is_whole)
        .find_map(|one| Thread::parse(one).ok())?;
    let reason = format!("`{name}` says {thread}, no other cell does: taken as the thread");
    notes.warn("thread", "thread-in-name", &reason, "give the thread a column of its own");
    Some(thread)
}

/// A grade that the notes of a row name and that is not the one of the `title` above it:
/// `class 8.8 screws here`.
pub(crate) fn grade_in_notes(
    draft: &Draft,
    title: &str,
    given: &Given,
    tables: &Tables,
) -> Option<String> {
    let own = draft.notes.iter().filter(|note| given.words.as_ref() != Some(note));
    let mut found = own.flat_map(|note| {
        let words: Vec<&str> = note.split([' ', ',', ';', '(', ')']).collect();
        let is_name = |name: &&str| name.contains('.') || name.contains(' ');
        let pairs = words.windows(2).map(|pair| pair.join(" "));
        let all: Vec<String> = pairs.chain(words.iter().map(|word| (*word).to_owned())).collect();
        let named = all.iter().map(String::as_str).filter(is_name);
        named.filter_map(|name| Some(tables.strength(name)?.name.clone())).collect::<Vec<_>>()
    });
    found.find(|name| name != title)
}

/// Whether the notes of a row name a lube that is not the `lube` of the title above it:
/// `oiled unless noted`. Which one holds is then left open.
pub(crate) fn names_another(
    draft: &Draft,
    lube: &str,
    given: &Given,
    tables: &Tables,
    notes: &mut RowNotes,
) -> bool {
    let known = |piece: &[&str]| {
        let piece = piece.join(" ");
        tables.lube(&piece).or_else(|| tables.lube(lube_in_words(&piece)?))
    };
    let mut own = draft.notes.iter().filter(|note| given.words.as_ref() != Some(note));
    let other = own.find_map(|note| {
        let folded = words::plain_words(note);
        let words: Vec<&str> = folded.split([' ', ';', '(', ')']).collect();
        let named = (1..=3).rev().find_map(|length| words.windows(length).find_map(known))?;
        (named.name != lube).then(|| named.name.clone())
    });
    if let Some(other) = &other {
        let reason = format!("the title says {lube}, the notes of the row {other}: left open");
        notes.warn("lube", "lube-in-notes", &reason, "give the row its lube in a column");
    }
    other.is_some()
}
