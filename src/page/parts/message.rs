//! What did not work, and the one thing to do.

use yew::prelude::*;

use crate::text::Notice;

/// The message.
#[derive(Properties, PartialEq)]
pub struct MessageProps {
    /// What to say.
    pub notice: Notice,
}

/// A message with its next step, spoken by screen readers at once.
#[component]
pub fn Message(props: &MessageProps) -> Html {
    html! {
        <div class="message" role="alert" data-code={props.notice.code.clone()}>
            <p id="message" class="message-seen">{ &props.notice.seen }</p>
            <p id="next-step" class="message-next">{ &props.notice.next_step }</p>
        </div>
    }
}
