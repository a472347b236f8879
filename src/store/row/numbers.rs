//! Every number on the disk. A number keeps its meaning and its type for ever:
//! what is new gets the next one, what goes leaves its own behind unused. The
//! first released form is 3; until it is released a list may still change.
//!
//! Adding a field is one line here: `NUMBER member`. Which types a member may
//! have is in `stored.rs` and `leaf.rs`.

#![deny(unreachable_patterns)] // two members of one number

use std::marker::PhantomData;

use serde::de::{Deserializer, EnumAccess, MapAccess, VariantAccess as _};
use serde::ser::{SerializeMap, Serializer};

use crate::procedure::Point;
use crate::record::{
    AsFound, Band, Basis, Bearing, Bolt, BoltSet, Bottom, Calibrated, Duty, Fastener, Joint, Kind,
    Layout, Lube, LubeClass, Material, Method, Pass, PassDone, Prevailing, Pull, PullKind, Reached,
    Reuse, Setting, Snapshot, Source, SourceKind, Strength, StrengthClass, StrengthRow, Tables,
    Turned, Wet, Wrench, WrenchUsed,
};
use crate::store::backup::{BackupLine, Head, Tail};
use crate::store::bench::{BenchChange, BenchRow};
use crate::store::image::{Counts, NamesRow};
use crate::store::ledger::{LedgerRow, NoteRow, Past, Signature, Step};
use crate::store::overlay::{ChangedRow, OverlayRow};
use crate::store::row::leaf::{EXTENT, FORM_OF_NUMBER};
use crate::store::row::list::List;
use crate::store::row::rows::{
    KeyOf, MemberOrder, Numbered, Record, RecordOf, VariantOf, Variants, WordOf, choice, missing,
    next_number, not_in, put_member, put_record, record, rows, take_member, variants,
};
use crate::store::row::stored::{Put, Stored, Take};
use crate::store::seal::Meta;
use crate::thread::Series;

/// The units, by the symbol that `quantity::UNITS` prints; a test holds the
/// two together.
#[rustfmt::skip]
pub(crate) const UNIT: List = List { name: "unit", entries: &[
    (1, "N·m"), (2, "lb-ft"), (3, "lb-in"), (4, "oz-in"), (5, "kgf·m"), (6, "kgf·cm"),
    (7, "daN·m"), (8, "N·cm"), (9, "N"), (10, "kN"), (11, "lbf"), (12, "kip"), (13, "kgf"),
    (14, "mm"), (15, "cm"), (16, "m"), (17, "µm"), (18, "in"), (19, "thou"), (20, "ft"),
    (21, "MPa"), (22, "GPa"), (23, "psi"), (24, "ksi"), (25, "kgf/mm²"), (26, "mm²"),
    (27, "cm²"), (28, "in²"), (29, "°"), (30, "turn"), (31, "K"), (32, "°F"), (33, "%"), (34, "kN·m"),
] };

rows! {
    also { UNIT, FORM_OF_NUMBER, EXTENT }

    record Fastener "fastener" {
        1 key, 2 joint, 3 part, 4 kind, 5 part_number, 6 count, 7 positions, 8 group,
        9 after_group, 10 thread, 11 hole_thread, 12 hole_end_lube, 13 hole_end_fitting,
        14 turned, 15 strength, 16 finish, 17 waist, 18 length, 19 grip, 20 engagement,
        21 hole_depth, 22 hole_material, 23 insert, 24 head, 25 drive, 26 seat, 27 bearing,
        28 bottom, 29 wet, 30 sealant, 31 washer, 32 reuse, 33 prevailing, 34 prevailing_rule,
        35 tags, 36 notes, 37 verbatim, 38 settings,
    }
    record Joint "joint" {
        1 assembly, 2 name, 3 duty, 4 gasket, 5 machining, 6 place, 7 layout, 8 order,
    }
    record Strength "stated-strength" { 1 name, 2 proof, 3 yield_, 4 tensile }
    record Bearing "bearing" { 1 outer, 2 hole }
    variants Reuse "reuse" {
        1 "reusable" Reusable, 2 "single_use" SingleUse, 3 "up_to" UpTo(cycles),
        4 "free_length" FreeLength(limit),
    }
    record Setting "setting" {
        1 lube, 2 face_lube, 3 method, 4 torque, 5 snug, 6 angles, 7 stretch, 8 passes, 9 cycles,
        10 tolerance, 11 this_lube_only, 12 retorque, 13 recheck, 14 basis, 15 source,
        16 entered_on, 17 entered_by, 18 checked_by, 19 supersedes, 20 superseded, 21 warnings,
    }
    variants Pass "pass" {
        1 "torque" Torque(torque), 2 "share" Share(share), 3 "turn" Turn(angle), 4 "snug" Snug,
    }
    record Source "source" { 1 title, 2 page, 3 revision, 4 date, 5 kind }

    record Tables "tables" { 1 lubes, 2 strengths }
    record Lube "lube" {
        1 name, 2 aliases, 3 class, 4 k, 5 mu_thread, 6 mu_bearing, 7 convertible, 8 what,
        9 source,
    }
    record Band "band" { 1 low, 2 nominal, 3 high }
    record StrengthClass "strength" { 1 name, 2 aliases, 3 rows, 4 unit, 5 source, 6 material }
    record StrengthRow "size-range" { 1 from, 2 above, 3 to, 4 proof, 5 yield_, 6 tensile }

    record Wrench "wrench" {
        1 name, 2 low, 3 high, 4 graduation, 5 shop_low, 6 shop_high, 7 lever, 8 calibrations,
        9 due, 10 notes,
    }
    record Calibrated "calibration" { 1 day, 2 found }
    record Layout "layout" { 1 name, 2 points, 3 groups, 4 notes }
    record Point "point" { 1 x, 2 y }
    record BoltSet "bolt-set" { 1 name, 2 fastener, 3 bolts, 4 notes }
    record Bolt "bolt" { 1 position, 2 mark, 3 new, 4 earlier }
    record Pull "pull" {
        1 number, 2 corrects, 3 job, 4 at, 5 who, 6 kind, 7 assembly, 8 joint, 9 spec, 10 wrench,
        11 lube, 12 lot, 13 order, 14 passes, 15 reached, 16 set, 17 remarks,
        18 set_to,
    }
    record Snapshot "snapshot" { 1 key, 2 generation, 3 part, 4 thread, 5 count, 6 setting }
    record WrenchUsed "wrench-used" { 1 name, 2 calibrated, 3 due }
    record PassDone "pass-done" { 1 to, 2 done, 3 value }
    record Reached "reached" { 1 position, 2 torque, 3 angle, 4 stretch, 5 before, 6 after }

    choice Kind "kind" { by word: 1 Bolt, 2 Stud, 3 Nut, 4 Screw, 5 Plug }
    choice Duty "duty" {
        by word: 1 Engine, 2 Wheel, 3 Steering, 4 Brake, 5 Lifting, 6 Pressure, 7 SparkPlug,
        8 Other,
    }
    choice Turned "turned" { by word: 1 Head, 2 Nut }
    choice Bottom "bottom" { by word: 1 Blind, 2 Through }
    choice Wet "wet" { by word: 1 Coolant, 2 Oil, 3 Port }
    choice Prevailing "prevailing" { by word: 1 Included, 2 ToAdd, 3 Unknown }
    choice Method "method" { by word: 1 Torque, 2 TorqueAngle, 3 Angle, 4 Stretch }
    choice Basis "basis" { by word: 1 Listed, 2 Shop, 3 Chart, 4 Computed }
    choice SourceKind "source-kind" { by word: 1 Maker, 2 Manual, 3 Shop, 4 Memory }
    choice LubeClass "lube-class" {
        by word: 1 Dry, 2 Wet, 3 Coating, 4 Threadlocker, 5 Sealant,
    }
    choice Material "material" {
        by word: 1 Steel, 2 CastIron, 3 Stainless, 4 Aluminium, 5 Magnesium, 6 Titanium, 7 Brass,
        8 Plastic, 9 Other,
    }
    choice PullKind "log-kind" {
        by word: 1 Tightened, 2 Trial, 3 Retorqued, 4 Checked, 5 Loosened,
    }
    choice AsFound "as-found" { by word: 1 Good, 2 Out }
    choice Series "series" {
        by symbol: 1 M, 2 Mj, 3 Unc, 4 Unf, 5 Unef, 6 Un, 7 Uns, 8 Unjc, 9 Unjf, 10 Unjef, 11 Unj,
        12 Bsw, 13 Bsf, 14 Ba, 15 Npt, 16 Nptf, 17 G, 18 R, 19 Rp, 20 Rc,
    }

    record Counts "counts" { 1 generation, 2 next, 3 fasteners, 4 settings, 5 joints }
    record Meta "record-meta" { 1 form, 2 generation, 3 next, 4 fasteners, 5 settings }
    record NamesRow "names" { 1 assemblies, 2 joints, 3 parts, 4 threads }
    record OverlayRow "overlay" { 1 base, 2 counts, 3 tables, 4 changed }
    record ChangedRow "changed" { 1 number, 2 base, 3 fastener }
    variants LedgerRow "ledger" {
        1 "past" Past(past), 2 "note" Note(note), 3 "bench" Bench(bench), 4 "step" Step(step),
    }
    record Step "step" { 1 generation, 2 signature, 3 entered, 4 count, 5 before, 6 undoes }
    record Past "past" { 1 generation, 2 signature, 3 old, 4 new }
    record NoteRow "note" { 1 topic, 2 key, 3 text, 4 signature }
    record Signature "signature" { 1 who, 2 when }
    record BenchRow "bench" { 1 signature, 2 change, 3 takes_back }
    variants BenchChange "bench-change" {
        1 "wrench" Wrench(wrench), 2 "wrench_removed" WrenchRemoved(name),
        3 "layout" Layout(layout), 4 "layout_removed" LayoutRemoved(name),
        5 "bolt_set" BoltSet(set), 6 "bolt_set_removed" BoltSetRemoved(name),
        7 "pull" Pull(line), 8 "line_lost" LineLost(number),
    }
    variants BackupLine "backup-line" {
        1 "clampbook_backup" ClampbookBackup(head), 2 "lube" Lube(lube),
        3 "strength" Strength(class), 4 "fastener" Fastener(fastener), 5 "ledger" Ledger(row),
        6 "end" End(tail),
    }
    record Head "backup-head" {
        1 form, 2 lists, 3 generation, 4 lubes, 5 strengths, 6 fasteners, 7 settings,
    }
    record Tail "backup-tail" { 1 lines, 2 check }
}
