//! The checks of links.

use crate::check::check_of::CheckOf;
use crate::check::lift;
use crate::check::link_bung;
use crate::check::link_engagement;
use crate::check::link_strength;
use crate::check::link_subject::LinkSubject;
use crate::check::link_thread_hand;
use crate::check::link_travel;

use crate::check::oven;
use crate::diag::Finding;

/// A check of links.
pub type LinkCheck = CheckOf<fn(&LinkSubject) -> Vec<Finding>>;

/// Every check of links, in their order.
pub(crate) const LINK_CHECKS: &[LinkCheck] = &[
    LinkCheck {
        code: "link-engagement",
        source: include_str!("link_engagement.rs"),
        run: link_engagement::check,
    },
    LinkCheck { code: "link-bung", source: include_str!("link_bung.rs"), run: link_bung::check },
    LinkCheck {
        code: "link-thread-hand",
        source: include_str!("link_thread_hand.rs"),
        run: link_thread_hand::check,
    },
    LinkCheck {
        code: "link-travel",
        source: include_str!("link_travel.rs"),
        run: link_travel::check,
    },
    LinkCheck { code: "oven", source: include_str!("oven.rs"), run: oven::look_at_link },
    LinkCheck { code: "lift", source: include_str!("lift.rs"), run: lift::look_at_link },
    LinkCheck {
        code: "link-strength",
        source: include_str!("link_strength.rs"),
        run: link_strength::check,
    },
];

/// The findings of all checks of a link.
pub fn link(subject: &LinkSubject) -> Vec<Finding> {
    LINK_CHECKS.iter().flat_map(|check| (check.run)(subject)).collect()
}
