//! What holds for every page: what a browser may do with it, that it can be read and walked through without a mouse.

use tests::{Furnished, TestApp, Visitor};

#[test]
fn no_page_runs_script_of_its_own_or_asks_anywhere_else() {
    let app = TestApp::start();
    let mut visitor = Visitor::new(&app);
    for path in ["/desk/sign-in", "/desk/nothing"] {
        let shown = visitor.get(path);
        let policy = shown.reply.header("content-security-policy").expect("a policy");
        assert!(policy.starts_with("default-src 'none'"), "{policy}");
        assert!(!policy.contains("unsafe") && !policy.contains("http"), "{policy}");
        assert_eq!(shown.reply.header("cache-control"), Some("no-store"));
        assert_eq!(shown.reply.header("x-content-type-options"), Some("nosniff"));
        assert!(
            shown.texts("script:not([src]), style, [style], [onclick]").is_empty(),
            "{}",
            shown.reply.text
        );
    }
}

#[test]
fn what_pages_are_made_of_is_kept_by_the_browser_under_a_name_of_its_content() {
    let app = TestApp::start();
    let mut visitor = Visitor::new(&app);
    for asset in desk::assets::ASSETS {
        let shown = visitor.get(&desk::assets::address(asset.name));
        assert_eq!((shown.reply.status, shown.reply.header("content-type")), (200, Some(asset.media_type)));
        assert!(shown.reply.header("cache-control").expect("it says").contains("immutable"));
        let _other = visitor.get(&format!("/desk/assets/000000000000/{}", asset.name)).page(404);
    }
}

#[test]
fn a_page_that_is_not_there_says_so_within_the_frame() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let mut visitor = Visitor::signed_in(&app, &outfit, "ida", "bookkeeper");
    let shown = visitor.get("/desk/nothing");
    let _page = shown.page(404);
    assert_eq!(shown.texts("h1"), ["There is no such page"]);
    assert_eq!(shown.texts("nav a"), ["Week", "Yard", "Statements", "Contracts", "Audit"]);
    assert_eq!(shown.texts("a.skip"), ["To the content"]);
    assert_eq!(shown.texts("form.who span"), ["ida, bookkeeper"]);
}
