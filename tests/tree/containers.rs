//! The compose file and the image: nothing in them has more than it needs. Each rule is common practice for containers;
//! NIST SP 800-190, "Application Container Security Guide", sections 4.1 and 4.4, gives the reasons (from memory).

use serde_json::Value;

use crate::repository::texts;

fn text_of(path: &str) -> String {
    let found = texts().into_iter().find(|text| text.path == path);
    found.expect("the file is there").content
}

/// What a compose file breaks, of what every service in it has to keep.
fn breaches(compose: &str) -> Vec<String> {
    let compose: Value = serde_saphyr::from_str(compose).expect("the compose file is YAML");
    let mut found = Vec::new();
    for (name, service) in compose.get("services").and_then(Value::as_object).expect("services") {
        let mut must = |kept: bool, rule: &str| {
            if !kept {
                found.push(format!("{name}: {rule}"));
            }
        };
        must(pinned(&service["image"]), "the image has a version of its own");
        must(numeric(&service["user"]), "it runs as a user by number, and not as root");
        must(service["read_only"] == true, "its root is read only");
        must(service["cap_drop"] == serde_json::json!(["ALL"]), "it has no capability");
        must(service.get("cap_add").is_none(), "it gets none back");
        must(service.get("privileged").is_none(), "it is not privileged");
        must(lists(&service["security_opt"], "no-new-privileges:true"), "it can gain no privilege");
        let asks = service.pointer("/healthcheck/test/0").and_then(Value::as_str);
        must(asks == Some("CMD"), "its health is asked for without a shell");
        must(service["restart"].is_string(), "it says whether it is started again");
        for limit in ["mem_limit", "cpus", "pids_limit"] {
            must(!service[limit].is_null(), &format!("it has a {limit}"));
        }
        for port in service["ports"].as_array().into_iter().flatten() {
            must(
                port.as_str().is_some_and(|port| port.starts_with("127.0.0.1:")),
                "it serves this machine only",
            );
        }
        for needed in service["depends_on"].as_object().into_iter().flatten() {
            must(
                needed.1["condition"] == "service_healthy",
                &format!("it waits until {} is healthy", needed.0),
            );
        }
        for (variable, value) in service["environment"].as_object().into_iter().flatten() {
            let hidden = ["PASSWORD", "SEED", "SECRET", "TOKEN"].iter().any(|word| variable.contains(word));
            must(!hidden || variable.ends_with("_FILE"), &format!("{variable} comes from a file"));
            let told = value.as_str().is_some_and(|value| value.contains("${"));
            must(!told, &format!("{variable} is not taken out of the caller's environment"));
        }
    }
    for (name, secret) in compose.get("secrets").and_then(Value::as_object).into_iter().flatten() {
        if !secret["file"].as_str().is_some_and(|file| file.starts_with("${")) {
            found.push(format!("{name}: secrets lie outside the tree"));
        }
    }
    found
}

/// Whether an image is named with a version that says more than "the newest".
fn pinned(image: &Value) -> bool {
    let version = image.as_str().and_then(|image| image.rsplit_once(':')).map(|(_, version)| version);
    version.is_some_and(|version| version.split('-').next().is_some_and(|number| number.contains('.')))
}

fn numeric(user: &Value) -> bool {
    let parts: Option<Vec<u32>> =
        user.as_str().and_then(|user| user.split(':').map(|part| part.parse().ok()).collect());
    parts.is_some_and(|parts| parts.len() == 2 && parts.iter().all(|part| *part > 0))
}

fn lists(list: &Value, wanted: &str) -> bool {
    list.as_array().is_some_and(|list| list.iter().any(|one| one == wanted))
}

#[test]
fn the_compose_file_gives_nothing_more_than_it_must() {
    let compose = text_of("docker-compose.yml");
    let found = breaches(&compose);
    assert!(found.is_empty(), "{found:#?}");
    let services: Value = serde_saphyr::from_str(&compose).expect("YAML");
    assert_eq!(services["services"].as_object().map(serde_json::Map::len), Some(2));
    assert!(services["services"]["postgres"]["ports"].is_null(), "the database is nobody else's");
    assert_eq!(services["networks"]["inside"]["internal"], true);
    let initialised = &services["services"]["postgres"]["environment"]["POSTGRES_INITDB_ARGS"];
    assert_eq!(initialised, "--data-checksums");
}

#[test]
fn what_a_service_should_not_have_is_seen() {
    let bad = "services:\n  careless:\n    image: postgres:latest\n    user: root\n    privileged: true\n    \
               cap_add: [ALL]\n    ports: [\"5432:5432\"]\n    environment:\n      PASSWORD: ${PASSWORD}\n    \
               depends_on:\n      other: {condition: service_started}\nsecrets:\n  key: {file: ./key}\n";
    let found = breaches(bad);
    assert_eq!(found.len(), 17, "{found:#?}");
}

/// The lines of a Dockerfile that do something, whole.
fn instructions(dockerfile: &str) -> Vec<String> {
    let lines = dockerfile.lines().map(str::trim).filter(|line| !line.is_empty() && !line.starts_with('#'));
    lines.map(str::to_owned).collect()
}

#[test]
fn the_image_has_neither_root_nor_a_compiler_nor_what_it_was_built_from() {
    let dockerfile = text_of("services/api/container/Dockerfile");
    let instructions = instructions(&dockerfile);
    let last = instructions.iter().rposition(|line| line.starts_with("FROM ")).expect("a stage");
    let (build, run) = instructions.split_at(last);
    assert!(build.iter().any(|line| line.contains("cargo build --release --locked")), "{build:#?}");
    assert!(!build.iter().any(|line| line.starts_with("COPY . ")), "everything is copied");
    assert!(run.iter().any(|line| line == "USER 10001:10001"), "{run:#?}");
    assert!(
        run.iter().any(|line| line.starts_with("HEALTHCHECK") && line.ends_with("[\"skidway\", \"ready\"]"))
    );
    assert!(!run.iter().any(|line| line.starts_with("RUN ")), "nothing is fetched into the image: {run:#?}");
    let copied = run.iter().filter(|line| line.starts_with("COPY "));
    assert!(copied.into_iter().all(|line| line.starts_with("COPY --from=build ")), "{run:#?}");
    for line in instructions.iter().filter(|line| line.starts_with("FROM ")) {
        assert!(!line.contains(":latest") && line.contains(':'), "{line}");
    }
    // Every member of the workspace and whatever is compiled in is copied, or `--locked` would not build.
    for needed in ["Cargo.toml", "Cargo.lock", "migrations", "services", "tests"] {
        assert!(
            build.iter().any(|line| line.starts_with("COPY ") && line.contains(needed)),
            "{needed} is not copied"
        );
        let shown = format!("!{needed}");
        assert!(
            text_of(".dockerignore").lines().any(|line| line == shown),
            "{needed} is kept from the build"
        );
    }
}

/// The variables of the compose file are ones that the service knows.
#[test]
fn what_the_service_is_told_there_it_understands() {
    let compose: Value = serde_saphyr::from_str(&text_of("docker-compose.yml")).expect("YAML");
    let told = compose["services"]["skidway"]["environment"].as_object().expect("variables");
    for name in told.keys() {
        let known = |name: &str| api::config::VARIABLES.iter().any(|(known, _)| *known == name);
        let from_file = name
            .strip_suffix("_FILE")
            .is_some_and(|secret| known(secret) && api::config::secret_files::SECRETS.contains(&secret));
        assert!(known(name) || from_file, "{name} means nothing to the service");
    }
}
