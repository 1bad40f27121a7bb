//! All tests from outside the crate, in one program, linked once.
//!
//! A folder groups related tests. `cargo test --test all bending::` runs one folder, `cargo test
//! --test all docs::` one file. `house/all_files.rs` sees that no file is left out.

#![expect(clippy::unwrap_used, reason = "in a test a panic is the message")]

mod back;
mod demo;
mod own;
mod python;
mod random;
mod runs;
mod tree;

/// Typed texts: errors are refused with a message, whatever they are.
mod texts {
    mod bad_files;
    mod bad_input;
    mod fixes;
    mod formulas;
    mod helps;
    mod words;
}

/// Outlines and regions against other libraries and published shapes.
mod geometry {
    mod arms;
    mod disc_arcs;
    mod geometry_oracle;
    mod machine_outside;
    mod saddle;
    mod space_parts;
    mod space_tubes;
}

/// From bent part to flat, to the folded solid and to the order of its bends.
mod bending {
    mod bend_traps;
    mod by_hand;
    mod cases;
    mod cut_folded;
    mod development;
    mod flanges;
    mod fold;
    mod fold_lines;
    mod fold_lines_outside;
    mod fold_property;
    mod formed;
    mod formed_outside;
    mod metals;
    mod order;
    mod radii;
    mod remedies;
    mod shop_files;
    mod solid;
    mod spurs;
    mod view;
}

/// Figures printed by others.
mod publications {
    mod practice;
    mod published;
    mod published_bends;
    mod published_brake;
    mod published_radii;
}

/// Parts of recipes and jobs: their geometry, and their strength.
mod parts {
    mod arcs;
    mod as_built;
    mod bench;
    mod bevels;
    mod carried;
    mod copes;
    mod corner_steps;
    mod corners;
    mod defaults;
    mod drawn_edges;
    mod edge_distance;
    mod families;
    mod fitted;
    mod foreign_flats;
    mod formed;
    mod held_links;
    mod jigs;
    mod joint_places;
    mod joint_seats;
    mod joints;
    mod leg_room;
    mod lighten;
    mod lighten_outside;
    mod link_loads;
    mod links;
    mod lists;
    mod lying;
    mod machine;
    mod narrow;
    mod open_tubes;
    mod other_side;
    mod outline_files;
    mod own_rows;
    mod placed;
    mod points;
    mod points_outside;
    mod purchases;
    mod recesses;
    mod relations;
    mod reuse;
    mod rows;
    mod shapes;
    mod shared;
    mod slips;
    mod spans;
    mod strength;
    mod strength_demo;
    mod strength_heat;
    mod strength_openings;
    mod strength_outside;
    mod strength_paths;
    mod strength_slants;
    mod strength_supports;
    mod tabs_and_stubs;
    mod trade;
    mod trade_sizes;
    mod tube_ends;
}

/// Parts on sheets.
mod nesting {
    mod common;
    mod heat;
    mod kits;
    mod locked;
    mod nest;
    mod nest_angles;
    mod nest_outside;
    mod nest_relations;
    mod repeat;
}

/// Files written, read by independent programs and viewed.
mod files {
    mod bend_drawings;
    mod bracket;
    mod clevises;
    mod curves;
    mod dimensions;
    mod draughting;
    mod drawing_sheets;
    mod drawing_words;
    mod drawn;
    mod edge_work;
    mod fewest_sheets;
    mod filled;
    mod findings;
    mod golden;
    mod operator;
    mod orders;
    mod outlines;
    mod outside;
    mod outside_bending;
    mod outside_shapes;
    mod page_parts;
    mod pages;
    mod readers;
    mod report_page;
    mod samples;
    mod sheet_pictures;
    mod sheets_shared;
    mod shop_drawings;
    mod shown;
    mod signed;
    mod stopped;
    mod views;
}

/// The command as a person or a script runs it.
mod program {
    mod book;
    mod calibrate;
    mod changes;
    mod cli;
    mod disk;
    mod issues;
    mod licences;
    mod outline;
    mod search;
    mod stopped;
    mod story;
    mod watch;
}

/// The page of a job: its server tested with requests, and in a browser.
#[cfg(feature = "page")]
mod page {
    mod browser;
    mod desk;
    mod edits;
    mod entries;
    mod first_steps;
    mod fits;
    mod joints;
    mod kill;
    mod layouts;
    mod machine;
    mod new_parts;
    mod offers;
    mod quick;
    mod renames;
    mod safety;
    mod sections;
    mod shop;
    mod state;
    mod typed;
}

/// The sources and the documents themselves.
mod house {
    mod all_files;
    mod docs;
    mod floor_plan;
    mod picture;
}
