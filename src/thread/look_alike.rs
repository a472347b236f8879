//! Threads that can be mistaken for each other, and what happens then.

use std::fmt;

use crate::quantity::{Kind, Length, Ratio};
use crate::thread::{Family, Geometry, Series, Thread};

/// The part of a pair that the other thread is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Role {
    Bolt,
    Nut,
}

/// What a wrong pair does, the worst last.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Danger {
    /// Jams at once or does not start: found out by fingers.
    WontStart,
    Jams,
    /// Goes on for some turns, then cocks and binds.
    Binds,
    /// Runs the full length and feels right, then strips.
    Runs,
}

/// A thread that is mistaken for another one.
#[derive(Debug, Clone, PartialEq)]
pub struct LookAlike {
    /// The thread that was asked about.
    pub this: Thread,
    /// The one mistaken for it.
    pub other: Thread,
    /// Which part has the other thread.
    pub other_is: Role,
    /// Turns before the pitches disagree by all the play there is, at a middling
    /// play. None if they never do.
    pub turns: Option<f64>,
    /// The same at the least and the most play that usual tolerances leave.
    pub turns_between: Option<[f64; 2]>,
    /// The share of the thread height that still overlaps.
    pub shared: Ratio,
    pub danger: Danger,
}

/// The rule to print once beside look-alikes.
pub const BY_FINGERS: &str = "By fingers three turns, or wrong thread.";

/// How the turns are derived, to be said once beside them.
pub const TURNS_BY: &str =
    "Turns by basic profiles and 0.03 to 0.3 mm of play: computed, no source.";

/// Diametral play between a bolt and its own nut, of middling tolerances.
const PLAY_MM: f64 = 0.06;
/// Diametral play of a tight and of a loose pair of usual tolerance: the least of
/// 6g/6H at M6 and the most at M12, rounded (ISO 965-1, from memory).
const PLAY_RANGE_MM: [f64; 2] = [0.03, 0.30];
/// Above this many turns it is called several: nobody counts them.
const COUNTED: f64 = 10.0;
/// Below this overlap the bolt drops through or wobbles visibly.
const LEAST_SHARED: f64 = 0.10;
/// Threads that jam are only worth a word if the diameters differ by no more
/// than this share: others do not look alike.
const LOOKS_ALIKE: f64 = 0.06;
/// Turns that jam at once, jam soon, and that outlast a nut, in diameters.
const AT_ONCE: f64 = 0.5;
const SOON: f64 = 1.5;
const NUT_HEIGHTS: f64 = 1.5;

/// The threads of the series table that may be mistaken for `thread`, the most
/// dangerous first; none for a pipe thread.
///
/// Basic profiles with 0.06 mm of play: a bolt turns in the other's nut until
/// the pitches, which disagree a little more with each turn, have used up the
/// play between the flanks, which is the difference of the pitch diameters
/// times the tangent of half the flank angle. Computed, no source. Controlled-
/// root and constant-pitch series are not searched: their twins are.
pub fn look_alikes(thread: &Thread) -> Vec<LookAlike> {
    let Ok(this) = thread.geometry() else { return Vec::new() };
    let searched = Series::each().filter(|series| {
        let row = series.row();
        row.has_clamp()
            && *series != Series::Un
            && !matches!(row.family, Family::MetricRadius | Family::UnifiedRadius)
    });
    let mut found = Vec::from_iter(opposite_hand(thread));
    for other in searched.flat_map(Series::threads) {
        let Ok(geometry) = other.geometry() else { continue };
        if is_twin(&this, &geometry) {
            continue;
        }
        let other = other.with_hand(thread.is_left_hand());
        found.extend(pair(thread, other.clone(), Role::Nut, &this, &geometry));
        found.extend(pair(thread, other, Role::Bolt, &geometry, &this));
    }
    found.sort_by(|a, b| rank(a).partial_cmp(&rank(b)).unwrap_or(std::cmp::Ordering::Equal));
    found
}

/// The same diameter, pitch and form: they fit because they are one thread.
fn is_twin(this: &Geometry, other: &Geometry) -> bool {
    let near = |a: f64, b: f64| (a - b).abs() < 1e-6;
    near(this.major.mm(), other.major.mm())
        && near(this.pitch.mm(), other.pitch.mm())
        && near(this.flank_angle.deg(), other.flank_angle.deg())
}

/// Worst first; of the same danger the nearest diameter first.
fn rank(found: &LookAlike) -> (std::cmp::Reverse<Danger>, f64) {
    let (this, other) = (found.this.nominal(), found.other.nominal());
    (std::cmp::Reverse(found.danger), ((other - this) / this).abs())
}

/// A left-hand thread looks like its right-hand twin until it is turned.
fn opposite_hand(thread: &Thread) -> Option<LookAlike> {
    thread.is_left_hand().then(|| LookAlike {
        this: thread.clone(),
        other: thread.clone().with_hand(false),
        other_is: Role::Nut,
        turns: Some(0.0),
        turns_between: Some([0.0, 0.0]),
        shared: Ratio::from_value(1.0),
        danger: Danger::WontStart,
    })
}

fn pair(
    this: &Thread,
    other: Thread,
    other_is: Role,
    bolt: &Geometry,
    nut: &Geometry,
) -> Option<LookAlike> {
    let shared = shared_height(bolt, nut);
    if shared < LEAST_SHARED {
        return None;
    }
    let at = |play| turns(bolt, nut, play);
    let turns = at(PLAY_MM);
    let [tight, loose] = PLAY_RANGE_MM.map(at);
    let turns_between = tight.zip(loose).map(|(tight, loose)| [tight, loose]);
    let danger = danger(turns, bolt);
    let apart = ((bolt.major - nut.major) / nut.major).abs();
    if danger <= Danger::Jams && apart > LOOKS_ALIKE {
        return None;
    }
    let shared = Ratio::from_value(shared.min(1.0));
    Some(LookAlike { this: this.clone(), other, other_is, turns, turns_between, shared, danger })
}

/// The overlap of the bolt's crests with the nut's, as a share of the higher
/// of the two threads.
fn shared_height(bolt: &Geometry, nut: &Geometry) -> f64 {
    let height = |thread: &Geometry| thread.major - thread.minor_diameter;
    let full = height(bolt).mm().max(height(nut).mm());
    (bolt.major - nut.minor_diameter).mm() / full
}

/// Turns until the pitches have used up the play; none if they never do.
fn turns(bolt: &Geometry, nut: &Geometry, play: f64) -> Option<f64> {
    let play = (nut.pitch_diameter - bolt.pitch_diameter + Length::from_mm(play)).mm();
    let half_angle = (bolt.flank_angle + nut.flank_angle).base() / 4.0;
    let per_turn = (bolt.pitch - nut.pitch).mm().abs();
    if play <= 0.0 {
        return Some(0.0);
    }
    (per_turn > 1e-9).then(|| play * half_angle.to_radians().tan() / per_turn)
}

fn danger(turns: Option<f64>, bolt: &Geometry) -> Danger {
    let Some(turns) = turns else { return Danger::Runs };
    if turns >= NUT_HEIGHTS * (bolt.major / bolt.pitch) {
        Danger::Runs
    } else if turns >= SOON {
        Danger::Binds
    } else if turns >= AT_ONCE {
        Danger::Jams
    } else {
        Danger::WontStart
    }
}

impl LookAlike {
    fn bolt_and_nut(&self) -> (&Thread, &Thread) {
        match self.other_is {
            Role::Bolt => (&self.other, &self.this),
            Role::Nut => (&self.this, &self.other),
        }
    }

    /// `2 to 5 turns`: tolerances decide; `several turns` where they decide too much.
    fn turns_text(&self) -> String {
        let [low, high] = self.turns_between.unwrap_or_default();
        let (low, high) = (low.floor(), high.ceil());
        match (low, high) {
            (_, high) if high > COUNTED => "several turns".to_owned(),
            (0.0, high) => format!("up to {high} turns"),
            (low, high) => format!("{low} to {high} turns"),
        }
    }

    fn runs_text(&self) -> String {
        let shared = (self.shared.value() * 100.0).round();
        let (part, thread) = match self.other_is {
            Role::Nut => ("nut", "on"),
            Role::Bolt => ("bolt", "in"),
        };
        let goes = format!("{} {part}", self.other);
        if shared < 75.0 {
            format!(
                "{goes} runs loose {thread} {} and strips ({shared} % of the thread)",
                self.this
            )
        } else if self.flanks().is_some() {
            format!("{goes} goes {thread} {} but bears on an edge", self.this)
        } else {
            format!("{goes} runs {thread} {} and holds less ({shared} % of the thread)", self.this)
        }
    }

    /// Flank angles of this and the other thread in degrees, if they differ.
    fn flanks(&self) -> Option<(f64, f64)> {
        let angle = |thread: &Thread| thread.series().row().profile.flank_angle().deg();
        Some((angle(&self.this), angle(&self.other))).filter(|(this, other)| this != other)
    }
}

impl fmt::Display for LookAlike {
    /// One sentence without a full stop.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (bolt, nut) = self.bolt_and_nut();
        let turns = self.turns_text();
        match self.danger {
            Danger::Runs => f.write_str(&self.runs_text()),
            Danger::Binds => write!(
                f,
                "{bolt} bolt goes {turns} into {nut}, then cocks and binds \
                 ({} % of the thread)",
                (self.shared.value() * 100.0).round()
            ),
            Danger::Jams => write!(f, "{bolt} bolt jams in {nut} after {turns}"),
            Danger::WontStart => write!(f, "{bolt} bolt jams at once in {nut} or does not start"),
        }?;
        if let Some((this, other)) = self.flanks() {
            write!(f, "; flanks {this}° against {other}°")?;
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn find(bolt: &str, nut: &str) -> LookAlike {
        let bolt = Thread::parse(bolt).unwrap();
        let nut = Thread::parse(nut).unwrap();
        let found = look_alikes(&bolt);
        found
            .into_iter()
            .find(|alike| alike.other == nut && alike.other_is == Role::Nut)
            .unwrap_or_else(|| panic!("{nut} is not found for {bolt}"))
    }

    /// The trade's table of pairs: (bolt, nut, turns, per cent of the height).
    /// Computed there in the same way, so this checks the arithmetic, not
    /// practice; tolerance one turn.
    const PAIRS: &[(&str, &str, f64, f64)] = &[
        ("M12x1.25", "1/2-20", 20.0, 49.0),
        ("7/16-14", "M12x1.75", 9.0, 51.0),
        ("3/4-10", "M20x2.5", 15.0, 64.0),
        ("3/8-24", "M10x1", 6.0, 53.0),
        ("M11x1.25", "7/16-20", 4.5, 92.0),
        ("3/8-16", "M10x1.5", 4.0, 67.0),
        ("M6x1", "1/4-28", 3.0, 58.0),
        ("M14x1.5", "9/16-18", 2.5, 76.0),
        ("M12x1.5", "1/2-20", 2.5, 42.0),
        ("M12x1.75", "1/2-13", 2.5, 67.0),
        ("5/16-18", "M8x1.25", 1.0, 84.0),
        ("M6x1", "1/4-20", 1.0, 75.0),
        ("M11x2", "7/16-14", 1.0, 86.0),
        ("3/8-24", "M10x1.25", 1.0, 65.0),
    ];

    #[test]
    fn pairs_of_the_trade_turn_as_far_as_it_says() {
        for (bolt, nut, turns, shared) in PAIRS {
            let alike = find(bolt, nut);
            let found = alike.turns.unwrap();
            let slack = if *turns > 10.0 { 2.0 } else { 1.0 };
            assert!((found - turns).abs() <= slack, "{bolt} in {nut}: {found} turns");
            let per_cent = alike.shared.value() * 100.0;
            assert!((per_cent - shared).abs() < 1.0, "{bolt} in {nut}: {per_cent} %");
        }
    }

    #[test]
    fn dangers_are_told_apart() {
        let runs = [
            ("M12x1.25", "1/2-20"),
            ("M10x1.25", "7/16-20"),
            ("7/16-20", "M12x1.25"),
            ("10-32", "M5x0.8"),
        ];
        for (bolt, nut) in runs {
            assert_eq!(find(bolt, nut).danger, Danger::Runs, "{bolt} in {nut}");
        }
        let wont = [
            ("M8x1.25", "5/16-18"),
            ("M11x1.5", "7/16-14"),
            ("M10x1.5", "3/8-16"),
            ("1/2-13", "M12x1.75"),
            ("7/16-20", "7/16-14"),
            ("M10x1.25", "M10x1"),
        ];
        for (bolt, nut) in wont {
            let danger = find(bolt, nut).danger;
            assert!(danger <= Danger::Jams, "{bolt} in {nut}: {danger:?}");
        }
    }

    #[test]
    fn the_worst_pair_comes_first_and_reads_as_the_trade_says_it() {
        let found = look_alikes(&Thread::parse("M12x1.25").unwrap());
        assert_eq!(
            found[0].to_string(),
            "1/2-20 nut runs loose on M12x1.25 and strips (49 % of the thread)"
        );
        assert!(found.is_sorted_by(|a, b| a.danger >= b.danger));
    }

    #[test]
    fn no_thread_is_its_own_look_alike() {
        for thread in Series::each().flat_map(Series::threads) {
            assert!(look_alikes(&thread).iter().all(|alike| alike.other != thread), "{thread}");
        }
    }
}
