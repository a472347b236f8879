//! `add`, `edit` of what is kept by name at the bench: wrenches, layouts, bolt
//! sets.

use std::path::Path;

use crate::cli::ask::confirm;
use crate::cli::exit::{Code, Failure};
use crate::cli::globals::Globals;
use crate::cli::joint::layout as read_table;
use crate::cli::named::unknown;
use crate::cli::open;
use crate::cli::out::Out;
use crate::cli::sign::signature;
use crate::record::{
    BOLT_SET_FIELDS, BoltSet, KeptField, LAYOUT_FIELDS, Layout, WRENCH_FIELDS, Wrench, set_field,
};
use crate::report::{self, KeptChange};
use crate::store::{Book, Change, StoreError, Writer};
use crate::text::{fold_name, nearest};

/// What is to be done with a record.
pub(super) struct Task<'a> {
    /// Its name.
    pub name: &'a str,
    /// The fields that are set.
    pub pairs: &'a [(&'a str, &'a str)],
    /// Take it out of the book, not asking if the second says so.
    pub remove: Option<bool>,
    /// Who does it.
    pub who: Option<&'a str>,
}

/// A kind of record that is kept by name.
trait Kept: Clone + PartialEq + Default + 'static {
    const WHAT: &'static str;
    /// The plural that `list` knows.
    const LISTED: &'static str;
    fn fields() -> &'static [KeptField<Self>];
    fn all(book: &Book) -> Result<&[Self], StoreError>;
    fn put(self) -> Change;
    fn gone(name: String) -> Change;
    /// What a single field cannot see.
    fn check(&self, book: &Book) -> Result<(), Failure>;
    /// Takes what is no field; whether it was that.
    fn take_file(&mut self, _field: &str, _text: &str) -> Result<bool, Failure> {
        Ok(false)
    }
}

impl Kept for Wrench {
    const WHAT: &'static str = "wrench";
    const LISTED: &'static str = "wrenches";
    fn fields() -> &'static [KeptField<Self>] {
        WRENCH_FIELDS
    }
    fn all(book: &Book) -> Result<&[Self], StoreError> {
        book.wrenches()
    }
    fn put(self) -> Change {
        Change::PutWrench(self)
    }
    fn gone(name: String) -> Change {
        Change::RemoveWrench(name)
    }
    fn check(&self, _book: &Book) -> Result<(), Failure> {
        let is_whole = self.low.is_some() && self.high.is_some() && self.graduation.is_some();
        let has_range = self.shop_low.is_some() || self.shop_high.is_some();
        match self.scale() {
            Err(error) if is_whole || has_range => Err(refused(error)),
            _ => Ok(()),
        }
    }
}

impl Kept for Layout {
    const WHAT: &'static str = "layout";
    const LISTED: &'static str = "layouts";
    fn fields() -> &'static [KeptField<Self>] {
        LAYOUT_FIELDS
    }
    fn all(book: &Book) -> Result<&[Self], StoreError> {
        book.layouts()
    }
    fn put(self) -> Change {
        Change::PutLayout(self)
    }
    fn gone(name: String) -> Change {
        Change::RemoveLayout(name)
    }
    fn check(&self, _book: &Book) -> Result<(), Failure> {
        let is_shape = Self::standard(&self.name).is_some();
        match (is_shape, self.points.is_empty()) {
            (true, _) => Err(refused(format!(
                "`{}` describes itself and needs no entry: name this layout otherwise",
                self.name
            ))),
            (false, true) => Err(refused(
                "a layout needs its holes: file=TABLE.csv with the columns hole, x mm, y mm",
            )),
            (false, false) => Ok(()),
        }
    }
    fn take_file(&mut self, field: &str, text: &str) -> Result<bool, Failure> {
        if !matches!(fold_name(field).as_str(), "file" | "holes" | "table" | "coordinates") {
            return Ok(false);
        }
        let table = read_table(Path::new(text))?;
        (self.points, self.groups) = (table.points, table.groups);
        Ok(true)
    }
}

impl Kept for BoltSet {
    const WHAT: &'static str = "bolt set";
    const LISTED: &'static str = "sets";
    fn fields() -> &'static [KeptField<Self>] {
        BOLT_SET_FIELDS
    }
    fn all(book: &Book) -> Result<&[Self], StoreError> {
        book.bolt_sets()
    }
    fn put(self) -> Change {
        Change::PutBoltSet(self)
    }
    fn gone(name: String) -> Change {
        Change::RemoveBoltSet(name)
    }
    fn check(&self, book: &Book) -> Result<(), Failure> {
        if self.bolts.is_empty() {
            return Err(refused("a bolt set needs its bolts: bolts=\"1: new 1.9986 in; 2: …\""));
        }
        if self.fastener.is_empty() {
            return Err(refused(
                "a bolt set needs fastener=KEY; `find` with --format json has keys",
            ));
        }
        if book.fastener(&self.fastener)?.is_none() {
            let all = book.find(&crate::store::Access::All)?.fasteners;
            let near = nearest(&self.fastener, all.iter().map(|one| one.key.as_str()));
            let hint = near.map(|near| format!("; did you mean `{near}`?")).unwrap_or_default();
            return Err(refused(format!("no fastener has the key `{}`{hint}", self.fastener)));
        }
        Ok(())
    }
}

fn refused(why: impl std::fmt::Display) -> Failure {
    Failure::Input(format!("{why}\nnothing was changed"))
}

/// The kind that the first word names, and the name after it.
fn kind_and_name(name: &str) -> Option<(&'static str, &str)> {
    let kinds =
        [("wrench ", "wrench"), ("layout ", "layout"), ("bolt set ", "set"), ("set ", "set")];
    kinds.iter().find_map(|(word, kind)| {
        let start = name.get(..word.len())?;
        start.eq_ignore_ascii_case(word).then(|| (*kind, name[word.len()..].trim()))
    })
}

/// `add wrench NAME …`; None if the words name no such kind.
pub(super) fn add(
    globals: &Globals,
    name: &str,
    task: &Task<'_>,
    out: &mut Out,
) -> Option<Result<Code, Failure>> {
    let (kind, name) = kind_and_name(name)?;
    let task = Task { name, ..*task };
    Some(match kind {
        "wrench" => add_one::<Wrench>(globals, &task, out),
        "layout" => add_one::<Layout>(globals, &task, out),
        _ => add_one::<BoltSet>(globals, &task, out),
    })
}

/// `edit wrench NAME …`; None if the words name no such kind.
pub(super) fn edit(
    globals: &Globals,
    name: &str,
    task: &Task<'_>,
    out: &mut Out,
) -> Option<Result<Code, Failure>> {
    let (kind, name) = kind_and_name(name)?;
    let task = Task { name, ..*task };
    Some(match kind {
        "wrench" => edit_one::<Wrench>(globals, &task, out),
        "layout" => edit_one::<Layout>(globals, &task, out),
        _ => edit_one::<BoltSet>(globals, &task, out),
    })
}

fn name_of<T: Kept>(one: &T) -> String {
    // The first field of every kind is its name.
    (T::fields()[0].get)(one).unwrap_or_default()
}

fn known<T: Kept>(book: &Book, name: &str) -> Result<Option<T>, Failure> {
    let folded = fold_name(name);
    Ok(T::all(book)?.iter().find(|one| fold_name(&name_of(*one)) == folded).cloned())
}

fn set_all<T: Kept>(one: &mut T, pairs: &[(&str, &str)]) -> Result<(), Failure> {
    for (at, (field, text)) in pairs.iter().enumerate() {
        if pairs[..at].iter().any(|(other, _)| fold_name(other) == fold_name(field)) {
            return Err(Failure::Argument(format!("{field} is given twice")));
        }
        if !one.take_file(field, text)? {
            let name = field.replace('_', "-");
            set_field(T::WHAT, T::fields(), one, &name, text)
                .map_err(|error| Failure::Argument(error.to_string()))?;
        }
    }
    Ok(())
}

fn add_one<T: Kept>(globals: &Globals, task: &Task<'_>, out: &mut Out) -> Result<Code, Failure> {
    if task.name.is_empty() {
        let message = format!("which {}? Write its name before its fields", T::WHAT);
        return Err(Failure::Argument(message));
    }
    let mut new = T::default();
    (T::fields()[0].set)(&mut new, task.name).map_err(Failure::Argument)?;
    set_all(&mut new, task.pairs)?;
    let mut writer = open::writer(globals)?;
    if known::<T>(writer.book(), task.name)?.is_some() {
        return Err(refused(format!(
            "the book has a {what} `{}`; `clampbook edit {what} {}` changes it",
            task.name,
            task.name,
            what = T::WHAT
        )));
    }
    keep(&mut writer, None, new, task.who, out)
}

fn edit_one<T: Kept>(globals: &Globals, task: &Task<'_>, out: &mut Out) -> Result<Code, Failure> {
    let mut writer = open::changing(globals, task.who)?;
    let Some(old) = known::<T>(writer.book(), task.name)? else {
        let names: Vec<String> = T::all(writer.book())?.iter().map(name_of).collect();
        let names = names.iter().map(String::as_str);
        let message = unknown((T::WHAT, T::LISTED), task.name, names);
        out.complain(&format!("error: {message}"));
        return Ok(Code::Nothing);
    };
    let name = name_of(&old);
    if let Some(yes) = task.remove {
        if !yes && !confirm(&format!("remove {} {name} from the book?", T::WHAT), out)? {
            out.say("nothing was changed");
            return Ok(Code::Nothing);
        }
        let revision = writer.apply(vec![T::gone(name.clone())])?;
        let words = format!("{} {name} removed", T::WHAT);
        out.page(&report::removed_page(&name, &words, revision));
        return Ok(Code::Answered);
    }
    if task.pairs.is_empty() {
        let message = format!("what of the {} `{name}`? Write field=value or --remove", T::WHAT);
        return Err(Failure::Argument(message));
    }
    let mut new = old.clone();
    set_all(&mut new, task.pairs)?;
    if fold_name(&name_of(&new)) != fold_name(&name) {
        let message = format!("the log knows this {} as {name}: add one of the new name", T::WHAT);
        return Err(Failure::Argument(message));
    }
    keep(&mut writer, Some(old), new, task.who, out)
}

/// Checks, keeps and tells.
fn keep<T: Kept>(
    writer: &mut Writer,
    old: Option<T>,
    new: T,
    who: Option<&str>,
    out: &mut Out,
) -> Result<Code, Failure> {
    new.check(writer.book())?;
    writer.sign(signature(who));
    if old.as_ref() != Some(&new) {
        writer.apply(vec![new.clone().put()])?;
    }
    let before = old.as_ref();
    let cell = |field: &KeptField<T>| KeptChange {
        field: field.name,
        old: before.and_then(|old| (field.get)(old)),
        new: (field.get)(&new),
    };
    let changes: Vec<KeptChange> = T::fields().iter().map(cell).collect();
    let (name, revision) = (name_of(&new), writer.book().generation());
    out.page(&report::kept_page(T::WHAT, &name, &changes, revision));
    Ok(Code::Answered)
}
