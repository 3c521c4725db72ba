//! What goes on at every screen and is not seen: the crab in hand and the rules are kept, the worker is asked.

use std::rc::Rc;

use yew::prelude::*;

use super::Around;
use crate::page::hooks::kept::saved_crab::use_saved_crab;
use crate::page::hooks::photo::photo_file::PhotoFile;
use crate::page::hooks::rules::use_remembered_rules;
use crate::page::hooks::worker::WorkerClient;
use crate::session::{Action, Session};
use crate::worker::protocol::Ask;

/// Draws nothing, and does the work.
pub fn work(session: &Session, around: &Around) -> Html {
    html! { <Work session={session.clone()} around={around.clone()} /> }
}

#[derive(Properties)]
struct WorkProps {
    session: Session,
    around: Around,
}

impl PartialEq for WorkProps {
    /// It runs with each drawing of the page: the hooks look at what changed.
    fn eq(&self, _: &Self) -> bool {
        false
    }
}

#[component]
fn Work(props: &WorkProps) -> Html {
    let WorkProps { session, around } = props;
    use_saved_crab(session, &around.files, &around.kept, &around.act);
    use_worker(session, around.photo.as_ref(), &around.act);
    use_remembered_rules(&session.rules);
    Html::default()
}

/// Sends each new question to the worker, and ends the worker where the session says that it is lost.
#[hook]
fn use_worker(session: &Session, photo: Option<&Rc<PhotoFile>>, act: &Callback<Action>) {
    let client = {
        let act = act.clone();
        use_memo((), move |()| WorkerClient::new(act))
    };
    let pending = session.pending().cloned();
    let is_lost = session.photo.worker_lost;
    let photo = photo.cloned();
    let number = pending.as_ref().map(|pending| pending.number);
    use_effect_with((number, is_lost), move |_| {
        if is_lost {
            client.stop();
        }
        if let (Some(pending), Some(photo)) = (pending, photo) {
            client.ask(&Ask { number: pending.number, question: pending.question }, &photo);
        }
    });
}
