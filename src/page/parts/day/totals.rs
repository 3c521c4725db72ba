//! What was kept and let go in a year.

use std::rc::Rc;

use yew::prelude::*;

use crate::day::Book;
use crate::day::told::season::Total;
use crate::page::screens::crabs::kind_name;

/// The totals.
#[derive(Properties, PartialEq)]
pub struct TotalsProps {
    /// The book.
    pub book: Rc<Book>,
    /// Names of kinds by their ids.
    pub kinds: Vec<(String, String)>,
}

/// A table, a line for each year and kind.
#[component]
pub fn Totals(props: &TotalsProps) -> Html {
    let totals = use_memo(props.book.clone(), |book| book.totals());
    let line = |total: &Total| {
        let by = |(person, count): &(crate::day::Id, u32)| format!("{}: {count}", props.book.name_of(person));
        let by: Vec<String> = total.by_person.iter().map(by).collect();
        let by = if by.len() > 1 { format!(" ({})", by.join(", ")) } else { String::new() };
        let days = if total.days == 1 { "1 day".to_owned() } else { format!("{} days", total.days) };
        html! {
            <tr>
                <th scope="row">{ format!("{} {}", total.year, kind_name(&props.kinds, total.kind.as_deref())) }</th>
                <td>{ format!("{} kept{by}, {} let go, on {days}", total.kept, total.released) }</td>
            </tr>
        }
    };
    html! {
        <>
            <h2>{ "Totals of the year" }</h2>
            <table id="totals" class="figures-table"><tbody>{ for totals.iter().map(line) }</tbody></table>
        </>
    }
}
