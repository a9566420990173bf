//! Everybody's links lead somewhere, and every page is of one piece.

use std::collections::{BTreeSet, VecDeque};

use scraper::Selector;
use tests::{Furnished, Shown, TestApp, Visitor};

use super::{SPAN, two_weeks};

/// Other places of the desk, which have tests of their own.
const ELSEWHERE: [&str; 4] = ["/desk/papers", "/desk/statements", "/desk/week", "/desk/yard"];

fn links(shown: &Shown) -> Vec<String> {
    let page = shown.page(200);
    let links = Selector::parse("a[href]").expect("a selector");
    page.select(&links).filter_map(|link| link.attr("href")).map(str::to_owned).collect()
}

/// No id stands twice, what is labelled by an id finds it, no style or script stands in the page, headings come in order.
fn is_of_one_piece(shown: &Shown) {
    let page = shown.page(200);
    let every = |of: &str| Selector::parse(of).expect("a selector");
    let ids: Vec<_> = page.select(&every("[id]")).filter_map(|one| one.attr("id")).collect();
    let known: BTreeSet<_> = ids.iter().copied().collect();
    assert_eq!(known.len(), ids.len(), "{}: an id stands twice: {ids:?}", shown.reply.asked);
    for attribute in ["for", "aria-labelledby", "aria-describedby"] {
        for one in page.select(&every(&format!("[{attribute}]"))) {
            for id in one.attr(attribute).expect("ids").split(' ') {
                assert!(known.contains(id), "{}: nothing has the id {id}", shown.reply.asked);
            }
        }
    }
    assert!(shown.texts("style, script:not([src]), [style], [onclick]").is_empty(), "{}", shown.reply.asked);
    let levels: Vec<u8> = page
        .select(&every("h1, h2, h3, h4"))
        .map(|one| one.value().name().trim_start_matches('h').parse().expect("a level"))
        .collect();
    assert!(levels.windows(2).all(|pair| pair[1] <= pair[0] + 1), "{}: {levels:?}", shown.reply.asked);
    for field in page.select(&every("input:not([type=hidden]), select, textarea")) {
        let id = field.attr("id").unwrap_or_default();
        assert_eq!(
            page.select(&every(&format!("label[for='{id}']"))).count(),
            1,
            "{}: {id}",
            shown.reply.asked
        );
    }
}

/// Follows all links from a page; answers with how many pages there were.
fn crawl(visitor: &mut Visitor, from: &str) -> usize {
    let mut seen = BTreeSet::from([from.to_owned()]);
    let mut open = VecDeque::from([from.to_owned()]);
    while let Some(path) = open.pop_front() {
        let shown = visitor.get(&path);
        if shown.reply.header("content-disposition").is_some() {
            assert_eq!(shown.reply.status, 200, "{path}");
            continue;
        }
        is_of_one_piece(&shown);
        for link in links(&shown) {
            let place = link.split('#').next().unwrap_or_default().to_owned();
            let here = place.starts_with("/desk/") && !ELSEWHERE.iter().any(|other| place.starts_with(other));
            if here && seen.insert(place.clone()) {
                open.push_back(place);
            }
        }
        assert!(seen.len() < 500, "it goes on and on");
    }
    seen.len()
}

#[test]
fn all_links_of_the_contractor_lead_to_a_page() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let _settled = two_weeks(&outfit);
    let mut visitor = Visitor::signed_in(&app, &outfit, "ann", "contractor");
    assert!(crawl(&mut visitor, &format!("/desk/audit?{SPAN}")) > 30);
}

#[test]
fn all_links_of_a_mill_and_of_the_manager_lead_to_a_page() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let _settled = two_weeks(&outfit);
    let mut mill = Visitor::signed_in(&app, &outfit, "max", "mill");
    assert!(crawl(&mut mill, &format!("/desk/audit?{SPAN}")) > 8);
    let mut manager = Visitor::signed_in(&app, &outfit, "mia", "manager");
    assert!(crawl(&mut manager, "/desk/contracts") > 30);
}
