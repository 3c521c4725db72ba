//! All journeys, in the order they are gone.

mod access;
mod bad_files;
mod card;
mod counted;
mod day;
mod day_long;
mod day_photos;
mod kept;
mod large_text;
mod learn;
mod measure;
mod offline;
mod practice;
mod reload;
mod rules;
mod start;
mod thumb;
mod together;
mod update;
mod verdict;
mod ways_in;

use super::Journey;

/// Every journey.
pub const ALL: &[Journey] = &[
    Journey {
        name: "with all site data blocked the page works and says that it keeps nothing",
        public_url: "",
        go: |visit| Box::pin(day::site_data_blocked(visit)),
    },
    Journey {
        name: "open only, in one's own rule, closes the days outside",
        public_url: "",
        go: |visit| Box::pin(rules::open_only(visit)),
    },
    Journey {
        name: "two fingers zoom the photo about themselves",
        public_url: "",
        go: |visit| Box::pin(thumb::two_fingers_zoom(visit)),
    },
    Journey {
        name: "a day of two people, four pots and sixty crabs is there to the last digit",
        public_url: "",
        go: |visit| Box::pin(day::whole_day(visit)),
    },
    Journey {
        name: "a measured crab keeps its photo as pixels alone, also through a copy and a full disk",
        public_url: "",
        go: |visit| Box::pin(day_photos::kept_with_the_crab(visit)),
    },
    Journey {
        name: "what a build before photos kept is there",
        public_url: "",
        go: |visit| Box::pin(day_photos::earlier_schema(visit)),
    },
    Journey {
        name: "a list of ten thousand crabs opens, is chosen from and ordered at once",
        public_url: "",
        go: |visit| Box::pin(day_long::ten_thousand_crabs(visit)),
    },
    Journey {
        name: "a pot is changed, removed and brought back",
        public_url: "",
        go: |visit| Box::pin(day_long::pots_change(visit)),
    },
    Journey {
        name: "site data cleared under the page is said, and the day is written anew",
        public_url: "",
        go: |visit| Box::pin(day_long::cleared_while_open(visit)),
    },
    Journey {
        name: "a crab that was kept is there after the browser was killed, twice",
        public_url: "",
        go: |visit| Box::pin(day::killed_after_keeping(visit)),
    },
    Journey {
        name: "two tabs count each other's crabs",
        public_url: "",
        go: |visit| Box::pin(day::two_tabs(visit)),
    },
    Journey {
        name: "the phone's Back key goes a step back, and not out with a crab in hand",
        public_url: "",
        go: |visit| Box::pin(day::back_key(visit)),
    },
    Journey {
        name: "a crab counts for who kept it, on its day, also against the verdict and on another phone",
        public_url: "",
        go: |visit| Box::pin(counted::kept_against_the_verdict(visit)),
    },
    Journey {
        name: "the page starts, and leaves no error in the console",
        public_url: "",
        go: |visit| Box::pin(start::starts(visit)),
    },
    Journey {
        name: "every file of the page comes with the right type and only from its own build",
        public_url: "",
        go: |visit| Box::pin(start::loads_one_build(visit)),
    },
    Journey {
        name: "an inline script is refused",
        public_url: "",
        go: |visit| Box::pin(start::inline_script_is_refused(visit)),
    },
    Journey {
        name: "with the server stopped the page still starts",
        public_url: "",
        go: |visit| Box::pin(offline::starts_without_server(visit)),
    },
    Journey {
        name: "a keeper by photo takes eight taps from the day's screen and back",
        public_url: "",
        go: |visit| Box::pin(kept::by_photo_in_eight_taps(visit)),
    },
    Journey {
        name: "ready without a network is said while it is so, and a damaged copy is mended",
        public_url: "",
        go: |visit| Box::pin(offline::says_ready_while_it_is(visit)),
    },
    Journey {
        name: "a page that cannot start says what to do",
        public_url: "",
        go: |visit| Box::pin(offline::tells_a_failed_start(visit)),
    },
    Journey {
        name: "under a sub-path the page starts, online and offline",
        public_url: "/some/deep-path/",
        go: |visit| Box::pin(offline::starts_without_server(visit)),
    },
    Journey {
        name: "a second photo settles what one leaves to the gauge, as the native command has it",
        public_url: "",
        go: |visit| Box::pin(together::second_photo_settles(visit)),
    },
    Journey {
        name: "a crab that moved between two photos is said and not kept",
        public_url: "",
        go: |visit| Box::pin(together::moved_crab_is_said(visit)),
    },
    Journey {
        name: "a practice crab is that of the native program, marked, kept and measured in a photo",
        public_url: "",
        go: |visit| Box::pin(practice::crab_is_sorted_and_kept(visit)),
    },
    Journey {
        name: "a new version waits until it is accepted and then comes whole",
        public_url: "",
        go: |visit| Box::pin(update::waits_and_comes_whole(visit)),
    },
    Journey {
        name: "a half-copied new version is not taken",
        public_url: "",
        go: |visit| Box::pin(update::half_copied_is_not_taken(visit)),
    },
    Journey {
        name: "a sample gives a width with its uncertainty",
        public_url: "",
        go: |visit| Box::pin(measure::sample_gives_width(visit)),
    },
    Journey {
        name: "a photo from a file gives a width",
        public_url: "",
        go: |visit| Box::pin(measure::file_gives_width(visit)),
    },
    Journey {
        name: "arrow keys correct a point, and undo takes it back",
        public_url: "",
        go: |visit| Box::pin(measure::arrow_keys_correct_a_point(visit)),
    },
    Journey {
        name: "the page measures as the native command does, points given",
        public_url: "",
        go: |visit| Box::pin(measure::same_as_native_with_points(visit)),
    },
    Journey {
        name: "the page proposes and refuses as the native command does",
        public_url: "",
        go: |visit| Box::pin(measure::same_as_native_as_proposed(visit)),
    },
    Journey {
        name: "with the server stopped a sample gives the same width again",
        public_url: "",
        go: |visit| Box::pin(measure::offline_again(visit)),
    },
    Journey {
        name: "a bad file gets a message with a next step and the page works on",
        public_url: "",
        go: |visit| Box::pin(bad_files::each_gets_a_message(visit)),
    },
    Journey { name: "a large male ends in keep", public_url: "", go: |visit| Box::pin(verdict::keep(visit)) },
    Journey {
        name: "a female ends in release, without a photo",
        public_url: "",
        go: |visit| Box::pin(verdict::release(visit)),
    },
    Journey {
        name: "a short crab ends in release by its size",
        public_url: "",
        go: |visit| Box::pin(verdict::release_by_size(visit)),
    },
    Journey {
        name: "a borderline crab ends in gauge it by hand",
        public_url: "",
        go: |visit| Box::pin(verdict::gauge(visit)),
    },
    Journey {
        name: "each crab kept makes the day's count one longer, and no other does",
        public_url: "",
        go: |visit| Box::pin(kept::grows_with_each_keeper(visit)),
    },
    Journey {
        name: "at twice the text and in small windows nothing is cut",
        public_url: "",
        go: |visit| Box::pin(large_text::nothing_is_cut(visit)),
    },
    Journey {
        name: "a full day and very long names are shown whole",
        public_url: "",
        go: |visit| Box::pin(large_text::full_day_with_long_names(visit)),
    },
    Journey {
        name: "an unsure answer never ends in keep",
        public_url: "",
        go: |visit| Box::pin(verdict::unsure_is_no_keeper(visit)),
    },
    Journey {
        name: "with the server stopped a photo ends in keep",
        public_url: "",
        go: |visit| Box::pin(verdict::keep_offline(visit)),
    },
    Journey {
        name: "with two cards the page asks which, and takes the one tapped",
        public_url: "",
        go: |visit| Box::pin(card::one_of_two(visit)),
    },
    Journey { name: "a tap names the card", public_url: "", go: |visit| Box::pin(card::tapped(visit)) },
    Journey {
        name: "four rough corners by hand are enough",
        public_url: "",
        go: |visit| Box::pin(card::corners_by_hand(visit)),
    },
    Journey { name: "a picture can be pasted", public_url: "", go: |visit| Box::pin(ways_in::pasted(visit)) },
    Journey {
        name: "a file can be dropped anywhere, and the answers stay",
        public_url: "",
        go: |visit| Box::pin(ways_in::dropped(visit)),
    },
    Journey {
        name: "a search in 50 megapixels can be stopped, and measures",
        public_url: "",
        go: |visit| Box::pin(ways_in::very_large(visit)),
    },
    Journey {
        name: "a broken worker is told, replaced, and costs no answer",
        public_url: "",
        go: |visit| Box::pin(ways_in::broken_worker(visit)),
    },
    Journey {
        name: "from photo to verdict by keyboard alone",
        public_url: "",
        go: |visit| Box::pin(access::keyboard_alone(visit)),
    },
    Journey {
        name: "on a small phone everything is in reach, legible and named",
        public_url: "",
        go: |visit| Box::pin(access::every_screen_is_in_reach(visit)),
    },
    Journey {
        name: "where the system sets the colours, drawings and ruler are seen",
        public_url: "",
        go: |visit| Box::pin(access::forced_colours(visit)),
    },
    Journey {
        name: "a first visit has no water in force, and a season is looked up once a day",
        public_url: "",
        go: |visit| Box::pin(rules::first_visit(visit)),
    },
    Journey {
        name: "a rule of one's own tells its mistakes, takes force and stays",
        public_url: "",
        go: |visit| Box::pin(rules::own_rule(visit)),
    },
    Journey {
        name: "the word that a water is open can be taken back",
        public_url: "",
        go: |visit| Box::pin(rules::season_word_taken_back(visit)),
    },
    Journey {
        name: "sizes that differ have a field each in the form of one's own rule",
        public_url: "",
        go: |visit| Box::pin(rules::sizes_that_differ(visit)),
    },
    Journey {
        name: "a water that no pack has gets a rule of one's own",
        public_url: "",
        go: |visit| Box::pin(rules::new_water(visit)),
    },
    Journey {
        name: "a rules file takes force as one's own, a bad one tells every mistake",
        public_url: "",
        go: |visit| Box::pin(rules::rules_file(visit)),
    },
    Journey {
        name: "a shell length is left to the gauge, with a drawing of its points",
        public_url: "",
        go: |visit| Box::pin(rules::length_by_gauge(visit)),
    },
    Journey {
        name: "a position suggests a water, chooses nothing and is not kept",
        public_url: "",
        go: |visit| Box::pin(rules::suggested_water(visit)),
    },
    Journey {
        name: "a thumb drags a point, and sees it in the magnifier",
        public_url: "",
        go: |visit| Box::pin(thumb::drags_a_point(visit)),
    },
    Journey {
        name: "a finger that bounces answers one question, not two",
        public_url: "",
        go: |visit| Box::pin(thumb::bounces(visit)),
    },
    Journey {
        name: "a thumb aims to a pixel",
        public_url: "",
        go: |visit| Box::pin(thumb::aims_to_a_pixel(visit)),
    },
    Journey {
        name: "what was kept today stands on every screen, also after a reload",
        public_url: "",
        go: |visit| Box::pin(verdict::running_count(visit)),
    },
    Journey {
        name: "after a reload the crab is there at the same step, to the last digit",
        public_url: "",
        go: |visit| Box::pin(reload::same_step(visit)),
    },
    Journey {
        name: "after a reload while the worker is busy the photo is measured",
        public_url: "",
        go: |visit| Box::pin(reload::while_busy(visit)),
    },
    Journey {
        name: "after a reload nothing of a crab that is done with is there",
        public_url: "",
        go: |visit| Box::pin(reload::done_with(visit)),
    },
    Journey {
        name: "after a reload of a killed browser the crab is there",
        public_url: "",
        go: |visit| Box::pin(reload::killed_browser(visit)),
    },
    Journey {
        name: "blocked storage is said once, and the page works until its reload",
        public_url: "",
        go: |visit| Box::pin(reload::blocked(visit)),
    },
    Journey {
        name: "full storage is said with what a reload would lose, and no more once there is room",
        public_url: "",
        go: |visit| Box::pin(reload::full(visit)),
    },
    Journey {
        name: "a second tab leaves the first one's crab alone, also after a reload",
        public_url: "",
        go: |visit| Box::pin(reload::two_tabs(visit)),
    },
    Journey {
        name: "what another version saved is put aside at a reload, and is there for that version",
        public_url: "",
        go: |visit| Box::pin(reload::other_version(visit)),
    },
    Journey {
        name: "card and points stay in sight when the phone is turned",
        public_url: "",
        go: |visit| Box::pin(thumb::turns_the_phone(visit)),
    },
    Journey {
        name: "lessons, diagram and guide without a network, and back to the check with nothing lost",
        public_url: "",
        go: |visit| Box::pin(learn::learns_offline(visit)),
    },
];
