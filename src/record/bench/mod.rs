//! What goes to the bench for a record: the passes of a setting and the order
//! of a joint, the source's own before anything made up.

mod coordinates;
mod groups;
mod holes;
mod layout;
mod order;
mod order_words;
mod passes;
mod plan;

pub use coordinates::{LayoutError, read_layout};
pub use holes::{hole_numbers, is_of_order, own_holes};
pub use layout::{LAYOUTS, Layout, Pattern};
pub use order::{JointOrder, Places, joint_order};
pub use order_words::listed_numbers;
pub use passes::{plan_passes, plan_torque};
pub use plan::{PassFrom, PassPlan, PassStep, PassWish, TorqueStep, WrenchWish, prevailing_of};
