//! Every form that a message offers can be typed: it is read, and finds something in
//! the book that it is offered for. Asked of the demo shop, as it comes.

use std::collections::{BTreeSet, HashMap};
use std::path::PathBuf;

use clampbook::query::{QueryError, answer, run::Answer};
use clampbook::store::Book;
use clampbook::text::Diagnostic;
use rand::rngs::StdRng;
use rand::{Rng, SeedableRng};

use crate::program::demo_shop;

/// Random questions, if `CLAMPBOOK_QUESTIONS` does not say more.
const QUESTIONS: usize = 100;

/// What a line offers: the words between backquotes after "write", "for it:" or before
/// "alone". A word of the question that is quoted back is no offer.
fn offers(line: &str) -> Vec<String> {
    let after_write = line.split_once("write `").map(|(_, rest)| format!("`{rest}"));
    let alone = line.split_once("` alone").map(|(form, _)| format!("{form}`"));
    let listed = line.split_once("for it: ").map(|(_, rest)| rest.to_owned());
    let texts = [after_write, alone, listed].into_iter().flatten();
    let quoted =
        |text: String| text.split('`').skip(1).step_by(2).map(str::to_owned).collect::<Vec<_>>();
    texts.flat_map(quoted).collect()
}

/// What a line of help gives to type as an example: behind its colon, up to a semicolon.
fn examples(line: &str) -> Vec<&str> {
    let Some((_, rest)) = line.rsplit_once(": ") else { return Vec::new() };
    let rest = rest.split("; ").next().unwrap_or_default();
    match rest.strip_prefix('`') {
        Some(form) => form.split('`').take(1).collect(),
        None => rest.split(", or ").collect(),
    }
}

/// What is wrong with the help of a question that cannot be read: each example is answered,
/// and the question with the word that may be meant is no longer wrong there.
fn check_help(question: &str, found: &Diagnostic, book: &Book, wrong: &mut BTreeSet<String>) {
    for line in &found.help {
        let meant = line.strip_prefix("did you mean `").and_then(|rest| rest.strip_suffix("`?"));
        let place = (question.get(..found.span.start), question.get(found.span.end..));
        let whole = match (meant, place) {
            (Some(meant), (Some(before), Some(after))) => Some(format!("{before}{meant}{after}")),
            _ => None,
        };
        for form in examples(line).into_iter().filter(|form| !form.starts_with("clampbook ")) {
            if let Err(error) = answer(form, book) {
                wrong.insert(format!("{question}: {line:?}: `{form}`: {error}"));
            }
        }
        if let Some(Err(QueryError::Wrong(again))) = whole.map(|whole| answer(&whole, book))
            && (again.code, again.span.start) == (found.code, found.span.start)
        {
            wrong.insert(format!("{question}: {line:?}: {}", again.message));
        }
    }
}

fn finds(found: &Answer) -> bool {
    let groups = found.tally.as_ref().map_or(0, |tally| tally.groups.len());
    found.rows.len() + groups > 0
}

/// The lines that answer `question`, and whether it could not be read.
fn lines(question: &str, book: &Book, wrong: &mut BTreeSet<String>) -> (Vec<String>, bool) {
    match answer(question, book) {
        Ok(found) => ([found.readings, found.remarks, found.near].concat(), false),
        Err(QueryError::Wrong(found)) => {
            check_help(question, &found, book, wrong);
            (found.help, true)
        }
        Err(error) => panic!("{question}: {error}"),
    }
}

/// What a form is answered with; many questions are offered the same one.
#[derive(Default)]
struct Forms(HashMap<String, Result<bool, String>>);

impl Forms {
    /// Whether `form` finds something, or why it is not answered.
    fn finds(&mut self, form: &str, book: &Book) -> &Result<bool, String> {
        self.0.entry(form.to_owned()).or_insert_with(|| {
            let found = answer(form, book);
            found.map(|found| finds(&found)).map_err(|error| error.to_string())
        })
    }
}

/// What is wrong with the forms that answer `question`; how many there are.
fn check(question: &str, book: &Book, forms: &mut Forms, wrong: &mut BTreeSet<String>) -> usize {
    let mut count = 0;
    let (lines, is_wrong) = lines(question, book, wrong);
    for line in lines {
        // A line that says how to write must say it so that it is found here.
        if line.contains("write ") && !line.contains("write `") {
            wrong.insert(format!("{question}: nothing to type in {line:?}"));
        }
        for form in offers(&line).into_iter().filter(|form| !form.starts_with("clampbook ")) {
            count += 1;
            match forms.finds(&form, book) {
                Ok(true) => {}
                // The question's own figure, put right, may be in no row.
                Ok(_) if is_wrong => {}
                Ok(_) => drop(wrong.insert(format!("{question}: `{form}` finds nothing"))),
                Err(error) => drop(wrong.insert(format!("{question}: `{form}`: {error}"))),
            }
        }
    }
    count
}

/// Words of the trade, figures and joints by chance, as people mix them.
fn by_chance(random: &mut StdRng) -> String {
    const WORDS: &[&str] = &[
        "head",
        "bolts",
        "studs",
        "M10",
        "1/2-13",
        "moly",
        "oil",
        "dry",
        "sealant",
        "blind",
        "wet",
        "single-use",
        "torque",
        "length",
        "over 60 Nm",
        "under 20 lb-ft",
        "60",
        "10",
        "not",
        "or",
        "no washer",
        "has stretch",
        "coolant",
        "stainless",
        "pump",
        "mill",
        "K3",
        "new",
        "retorque",
        "page 12",
        "2019",
        "90%",
        "washer",
        "copper",
        "locking",
        "with oil",
        "sort torque down first 1",
        "sort length first 2",
        "passes",
        "four",
        "hex",
        "18 mm",
        "over 60 mm",
        "wheel",
        "brake,",
        "lifting",
        "through",
        "M5",
        "zinc",
        "gasket",
        "after 2020",
        "longest",
        "highest torque",
        "tightest first",
        "by joint",
        "anything",
        "that",
        "for",
        "superseded",
        "memory",
        "10.9",
        "8.8,",
        "12.9",
        "grease",
        "threadlocker",
        "bolster",
        "caps",
    ];
    let length = random.random_range(1..5);
    let words = (0..length).map(|_| WORDS[random.random_range(0..WORDS.len())]);
    words.collect::<Vec<_>>().join(" ")
}

#[test]
fn every_form_that_a_message_offers_finds_something() {
    let home = demo_shop();
    let book = Book::open(&home.path().join("data/clampbook")).expect("the demo");
    let (mut wrong, mut forms) = (BTreeSet::new(), Forms::default());
    let mut count = 0;
    let questions = std::env::var("CLAMPBOOK_QUESTIONS").map_or(QUESTIONS, |n| n.parse().unwrap());
    // Wordings that are read as one form ask one question, which `ears` holds: in a soak
    // each is asked, else the first.
    let mut read = BTreeSet::new();
    for (typed, form) in super::ear_rows() {
        if read.insert(form) || questions > QUESTIONS {
            // A machine that the demo has: of one that it has not each is one and the same
            // mistake.
            count += check(&typed.replace("Max 300", "Marlow 6"), &book, &mut forms, &mut wrong);
        }
    }
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/language/diagnostics");
    for entry in std::fs::read_dir(folder).expect("the folder") {
        let text = std::fs::read_to_string(entry.expect("an entry").path()).expect("a file");
        count += check(text.lines().next().unwrap_or_default(), &book, &mut forms, &mut wrong);
    }
    let mut random = StdRng::seed_from_u64(14);
    for _ in 0..questions {
        count += check(&by_chance(&mut random), &book, &mut forms, &mut wrong);
    }
    println!("{count} forms offered");
    assert!(count > questions, "{count} forms");
    assert!(wrong.is_empty(), "{}", Vec::from_iter(wrong).join("\n"));
}
