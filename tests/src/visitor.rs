//! Somebody at the desk with a browser that runs no script: keeps cookies, reads pages, fills in forms.

use std::collections::BTreeMap;

use reqwest::Method;
use scraper::{ElementRef, Html, Selector};
use serde_json::{Value, json};

use crate::actor::Reply;
use crate::{Actor, Furnished, TestApp};

/// What everybody at the desk has for a password.
const PASSWORD: &str = "a cold morning in june";

/// Somebody with a browser.
#[derive(Debug)]
pub struct Visitor {
    actor: Actor,
    host: String,
    /// The cookies that the browser keeps.
    pub cookies: BTreeMap<String, String>,
}

/// What the desk answered.
#[derive(Clone, Debug)]
pub struct Shown {
    /// The answer.
    pub reply: Reply,
}

/// A form as it stands on a page, with what is filled in.
#[derive(Clone, Debug)]
pub struct Form {
    method: Method,
    action: String,
    /// The names of its fields and their values, in the order of the page.
    pub fields: Vec<(String, String)>,
}

impl Visitor {
    /// Somebody who has just opened a browser.
    #[must_use]
    pub fn new(app: &TestApp) -> Self {
        Self::coming_by(app.stranger(), app.url())
    }

    /// The same by another address, such as that of a proxy.
    #[must_use]
    pub fn coming_by(actor: Actor, url: String) -> Self {
        Self { actor, host: url, cookies: BTreeMap::new() }
    }

    /// Somebody with an account of this role, who has signed in through the page.
    ///
    /// # Panics
    ///
    /// When that does not lead in.
    #[must_use]
    pub fn signed_in(app: &TestApp, outfit: &Furnished, name: &str, role: &str) -> Self {
        register(app, outfit, name, role);
        let mut visitor = Self::new(app);
        let form = visitor.get("/desk/sign-in").form("/desk/sign-in");
        let outfit = outfit.outfit.to_string();
        let filled = form.with("outfit", &outfit).with("name", name).with("password", PASSWORD);
        let answer = visitor.submit(&filled);
        assert_eq!(answer.reply.status, 303, "{}", answer.reply.text);
        visitor
    }

    /// Asks for a page.
    pub fn get(&mut self, path: &str) -> Shown {
        self.ask(Method::GET, path, None, &[])
    }

    /// Sends a form as a browser does.
    pub fn submit(&mut self, form: &Form) -> Shown {
        let pairs: Vec<_> = form.fields.iter().map(|(name, value)| (name.as_str(), value.as_str())).collect();
        let body = desk::page::query(&pairs);
        if form.method == Method::GET {
            return self.get(&format!("{}?{body}", form.action));
        }
        let origin = self.host.clone();
        self.ask(
            Method::POST,
            &form.action,
            Some(body),
            &[("Origin", &origin), ("Sec-Fetch-Site", "same-origin")],
        )
    }

    /// Asks for a page, and for the one that the answer leads to, as browsers do.
    pub fn follow(&mut self, shown: Shown) -> Shown {
        let mut shown = shown;
        for _ in 0..5 {
            let Some(to) = shown.leads_to() else { return shown };
            shown = self.get(&to);
        }
        panic!("it leads on and on: {}", shown.reply.asked)
    }

    /// Sends anything with any headers, beside the cookies.
    pub fn ask(
        &mut self,
        method: Method,
        path: &str,
        body: Option<String>,
        headers: &[(&str, &str)],
    ) -> Shown {
        let cookies: Vec<_> = self.cookies.iter().map(|(name, value)| format!("{name}={value}")).collect();
        let cookies = cookies.join("; ");
        let mut all = vec![("Content-Type", "application/x-www-form-urlencoded")];
        if !cookies.is_empty() {
            all.push(("Cookie", cookies.as_str()));
        }
        // A header that is given takes the place of the usual one.
        all.retain(|(name, _)| !headers.iter().any(|(given, _)| given == name));
        all.extend(headers);
        let reply = self.actor.send_with(method, path, body, &all);
        for (_, value) in reply.headers.iter().filter(|(name, _)| name == "set-cookie") {
            let (pair, attributes) = value.split_once(';').unwrap_or((value, ""));
            let (name, content) = pair.split_once('=').expect("a cookie has a name");
            if attributes.contains("Max-Age=0") {
                self.cookies.remove(name);
            } else {
                self.cookies.insert(name.to_owned(), content.to_owned());
            }
        }
        Shown { reply }
    }
}

/// Registers an account whose owner sets the password.
fn register(app: &TestApp, outfit: &Furnished, name: &str, role: &str) {
    let mut account = json!({"name": name, "role": role});
    if role == "mill" {
        account["mill_id"] = json!(outfit.mill_id);
    }
    let registered = outfit.manager.post("/v1/accounts", &account).expect(201);
    let text = |value: &Value| value.as_str().expect("a text").to_owned();
    let path = format!("/v1/accounts/{}/password", text(&registered["account"]["account_id"]));
    let code = text(&registered["enrolment"]["enrolment_code"]);
    let set = json!({"outfit_id": outfit.outfit.to_string(), "enrolment_code": code, "password": PASSWORD});
    let _set = app.stranger().post(&path, &set).expect(200);
}

fn selector(text: &str) -> Selector {
    Selector::parse(text).expect("a selector")
}

impl Shown {
    /// The page, when the answer is one.
    ///
    /// # Panics
    ///
    /// When it has another status.
    #[must_use]
    pub fn page(&self, status: u16) -> Html {
        assert_eq!(self.reply.status, status, "{}: {}", self.reply.asked, self.reply.text);
        assert_eq!(
            self.reply.header("content-type"),
            Some("text/html; charset=utf-8"),
            "{}",
            self.reply.asked
        );
        Html::parse_document(&self.reply.text)
    }

    /// Where the answer leads to, if it leads on.
    #[must_use]
    pub fn leads_to(&self) -> Option<String> {
        (self.reply.status == 303).then(|| self.reply.header("location").expect("it says where").to_owned())
    }

    /// All text of the page, with single blanks.
    #[must_use]
    pub fn text(&self) -> String {
        let page = Html::parse_document(&self.reply.text);
        let words: Vec<_> = page.root_element().text().flat_map(str::split_whitespace).collect();
        words.join(" ")
    }

    /// The texts of all elements that a selector of CSS finds.
    #[must_use]
    pub fn texts(&self, of: &str) -> Vec<String> {
        let page = Html::parse_document(&self.reply.text);
        let text = |one: ElementRef<'_>| {
            let words: Vec<_> = one.text().flat_map(str::split_whitespace).collect();
            words.join(" ")
        };
        page.select(&selector(of)).map(text).collect()
    }

    /// The rows below the heading of the table with this id, without what is said below them: the text of every cell.
    #[must_use]
    pub fn rows(&self, table: &str) -> Vec<Vec<String>> {
        let page = Html::parse_document(&self.reply.text);
        let text = |cell: ElementRef<'_>| {
            let words: Vec<_> = cell.text().flat_map(str::split_whitespace).collect();
            words.join(" ")
        };
        let rows = selector(&format!("#{table} tbody tr:not(.remark)"));
        page.select(&rows).map(|row| row.child_elements().map(text).collect()).collect()
    }

    /// The form that sends to an address.
    ///
    /// # Panics
    ///
    /// When there is none.
    #[must_use]
    pub fn form(&self, action: &str) -> Form {
        let page = Html::parse_document(&self.reply.text);
        let forms = selector("form");
        let mut found = page.select(&forms);
        let form = found
            .find(|form| form.attr("action") == Some(action))
            .unwrap_or_else(|| panic!("{} has no form for {action}: {}", self.reply.asked, self.reply.text));
        let posts = form.attr("method").is_some_and(|method| method.eq_ignore_ascii_case("post"));
        let fields = selector("input[name], select[name], textarea[name]");
        let fields = form.select(&fields).filter_map(|field| {
            let name = field.attr("name")?.to_owned();
            let unticked =
                matches!(field.attr("type"), Some("checkbox" | "radio")) && field.attr("checked").is_none();
            let value = match field.value().name() {
                "textarea" => field.text().collect(),
                "select" => chosen(field),
                _ => field.attr("value").unwrap_or_default().to_owned(),
            };
            (!unticked).then_some((name, value))
        });
        let method = if posts { Method::POST } else { Method::GET };
        Form { method, action: action.to_owned(), fields: fields.collect() }
    }
}

fn chosen(field: ElementRef<'_>) -> String {
    let options: Vec<_> = selector_all(field, "option");
    let one = options.iter().find(|option| option.attr("selected").is_some()).or(options.first());
    one.map_or_else(String::new, |option| {
        option.attr("value").map_or_else(|| option.text().collect(), str::to_owned)
    })
}

fn selector_all<'a>(within: ElementRef<'a>, of: &str) -> Vec<ElementRef<'a>> {
    within.select(&selector(of)).collect()
}

impl Form {
    /// The form with a field filled in; a field that is not on it is added, as a script or a forger would.
    #[must_use]
    pub fn with(mut self, name: &str, value: &str) -> Self {
        match self.fields.iter_mut().find(|(known, _)| known == name) {
            Some((_, filled)) => value.clone_into(filled),
            None => self.fields.push((name.to_owned(), value.to_owned())),
        }
        self
    }

    /// The form without a field.
    #[must_use]
    pub fn without(mut self, name: &str) -> Self {
        self.fields.retain(|(known, _)| known != name);
        self
    }
}
