//! The quote of a job: made, shown, agreed to, printed as quote and as invoice.

use crate::app::Now;
use crate::parts::field::{Field, Width};
use crate::parts::problem::Refused;
use crate::shell::act_id;
use maud::{Markup, html};
use sheet::words::rich;
use studio::{JobFile, JobState, Kept, Money, Quote, QuoteLine};

/// Draws the part of the job's page that is about money.
pub(crate) fn quote_part(kept: &Kept<JobFile>, refused: Refused<'_>, now: &Now, path: &str) -> Markup {
    let job = &kept.record;
    html! {
        @if job.quote.is_some() || job.can_be_quoted() {
            section class="quote" id="quote" {
                h2 { "Quote" }
                @if let Some(quote) = &job.quote { (made(job, quote, now, path)) }
                @if job.state == JobState::Quoted { @if let Some(quote) = &job.quote { (accept_form(kept, quote, refused, now, path)) } }
                @if job.can_be_quoted() { (make_form(kept, refused, path)) }
            }
        }
    }
}

fn made(job: &JobFile, quote: &Quote, now: &Now, path: &str) -> Markup {
    html! {
        p class="lead" {
            (quote.say(quote.total())) " in all"
            @if !quote.deposit.is_nothing() { ", " (quote.say(quote.deposit_amount())) " with the yes" }
            ". Made " (now.date(quote.made)) ", holds until " (now.date(quote.valid_until)) ". "
            @match &quote.accepted {
                Some(accepted) => { "Agreed " (now.date(accepted.day)) ", " (accepted.how) "." }
                None => { "No yes written down yet." }
            }
        }
        @if quote.accepted.is_none() && now.day > quote.valid_until {
            p class="note care" { "It holds no longer: make it anew before work begins." }
        }
        p class="papers" {
            a class="button" href=(format!("{path}/quote")) { "Quote on paper" }
            @if matches!(job.state, JobState::Ready | JobState::HandedOver | JobState::FollowUpDue | JobState::Closed) {
                " "
                a class="button" href=(format!("{path}/invoice")) { "Invoice on paper" }
            }
        }
    }
}

fn make_form(kept: &Kept<JobFile>, refused: Refused<'_>, path: &str) -> Markup {
    let is_anew = kept.record.quote.is_some();
    html! {
        details open[!is_anew || refused.at("discount").or(refused.at("prices")).is_some()] {
            summary { @if is_anew { "Make it anew" } @else { "Make a quote" } }
            form method="post" action=(format!("{path}/quote")) class="stacked" {
                (act_id())
                input type="hidden" name="seen" value=(kept.revision);
                @if let Some(problem) = refused.at("prices") { p class="problem" { (problem) " " a href="/house#price-extend" { "To the prices" } } }
                (Field {
                    name: "discount",
                    label: "Discount",
                    hint: "Nothing here: the house's own for a set. Such as 10 %.",
                    value: refused.value("discount", ""),
                    problem: refused.at("discount"),
                    width: Width::Number,
                    options: &[],
                }.draw())
                label class="check" {
                    input type="checkbox" name="rush" value="yes" checked[refused.value("rush", "") == "yes"];
                    " The work goes before its turn"
                }
                @if is_anew { p class="hint" { "A changed quote needs a new yes." } }
                button { @if is_anew { "Quote it anew" } @else { "Quote it" } }
            }
        }
    }
}

fn accept_form(kept: &Kept<JobFile>, quote: &Quote, refused: Refused<'_>, now: &Now, path: &str) -> Markup {
    html! {
        @if now.day <= quote.valid_until {
            form method="post" action=(format!("{path}/accept")) class="stacked" {
                (act_id())
                input type="hidden" name="seen" value=(kept.revision);
                input type="hidden" name="shown" value=(quote.total().as_cents());
                (Field {
                    name: "how",
                    label: "How the golfer agreed",
                    hint: "Signed, by message, on the telephone; for a minor the parent or guardian.",
                    value: refused.value("how", ""),
                    problem: refused.at("how"),
                    width: Width::Name,
                    options: &[],
                }.draw())
                button class="primary" { "Write the yes down" }
            }
        }
    }
}

/// The quote or the invoice as it is printed.
pub(crate) fn on_paper(quote: &Quote, is_invoice: bool, now: &Now) -> Markup {
    let amount = |amount: Money| html! { td class="nowrap" { (quote.say(amount)) } };
    let sum = |label: &str, value: Money| html! { tr { td colspan="3" { (label) } (amount(value)) } };
    html! {
        table class="dense quote-lines" {
            thead { tr { th class="text" scope="col" { "What" } th scope="col" { "Pieces" } th scope="col" { "Each" } th scope="col" { "Amount" } } }
            tbody {
                (group("Labour", &quote.labour, quote))
                (group("Parts", &quote.parts, quote))
                @if !quote.discount.is_nothing() { (sum(&format!("Discount, {}", quote.discount), -quote.discount_amount())) }
                @if !quote.rush.is_nothing() { (sum(&format!("Before its turn, {}", quote.rush), quote.rush_amount())) }
                @if quote.to_the_minimum > Money::ZERO { (sum("To the least for a job", quote.to_the_minimum)) }
                @if !quote.tax.is_nothing() { (sum("Before tax", quote.before_tax())) (sum(&format!("Tax, {}", quote.tax), quote.tax_amount())) }
                tr class="wanted" { td colspan="3" { b { "Total" } } td class="nowrap" { b { (quote.say(quote.total())) } } }
                @if !quote.deposit.is_nothing() {
                    (sum(&format!("Deposit with the yes, {}", quote.deposit), quote.deposit_amount()))
                    (sum("Balance at hand-over", quote.balance()))
                }
            }
        }
        ul class="plain small" {
            @if is_invoice {
                @if let Some(accepted) = &quote.accepted { li { "Agreed " (now.date(accepted.day)) ", " (accepted.how) "." } }
            } @else {
                li { "Holds until " (now.date(quote.valid_until)) ". A change of the work or its price needs a new yes." }
                li { "Prices are for the work named here and promise nothing of the play. Altered clubs may lose their maker's warranty." }
                li { "Rules on cancelling work made to measure differ; local law goes before this paper." }
            }
            li { "Shares are rounded to the cent, half a cent up." }
        }
        @if !is_invoice && quote.accepted.is_none() {
            p class="signature" { "I agree to this work at this price. For a minor a parent or guardian signs." }
            p class="signature" { "Date and signature: ______________________________" }
        }
    }
}

fn group(heading: &str, lines: &[QuoteLine], quote: &Quote) -> Markup {
    html! {
        @if !lines.is_empty() {
            tr { th class="text" scope="rowgroup" colspan="4" { (heading) } }
            @for line in lines {
                tr { td { (rich(&line.what)) } td { (line.count) } td class="nowrap" { (quote.say(line.each)) } td class="nowrap" { (quote.say(line.amount())) } }
            }
        }
    }
}
