//! All journeys, in the order they are gone.

mod offline;
mod start;
mod update;

use super::Journey;

/// Every journey.
pub const ALL: &[Journey] = &[
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
        name: "under a sub-path the page starts, online and offline",
        public_url: "/some/deep-path/",
        go: |visit| Box::pin(offline::starts_without_server(visit)),
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
];
