//! Three clusters of Postgres, three services with the same keys, and the proxy before them.

use std::collections::BTreeMap;
use std::sync::Arc;

use api::events::http_sender::HttpSender;
use api::running::Parts;
use api::running::limits::Limits;
use kernel::{OutfitId, SettableClock, SystemEntropy};
use localpg::Cluster;
use tests::{BareApp, Furnished, Inspector, Outside};

use crate::proxy::Proxy;

/// What the proxy calls them.
pub const NAMES: [&str; 3] = ["shard-a", "shard-b", "shard-c"];

/// A Monday: the weeks that ended on 6 and 13 June 2026 are over.
const NOW: &str = "2026-06-15T13:00:00Z";

/// All of it.
pub struct Shards {
    pub proxy: Proxy,
    pub services: [BareApp; 3],
    pub clusters: [Cluster; 3],
    /// The clock of all three services.
    pub clock: Arc<SettableClock>,
}

impl Shards {
    pub fn start() -> Self {
        let clusters = NAMES.map(|_| localpg::throwaway_cluster().expect("a cluster can be started"));
        let clock = Arc::new(SettableClock::at(NOW.parse().expect("a time")));
        let services = [0, 1, 2].map(|number| {
            let url = clusters[number].url();
            storage::migrate(&url).expect("the migrations apply");
            BareApp::start(&parts(url, clock.clone()))
        });
        let proxy = Proxy::start([0, 1, 2].map(|number| services[number].address));
        Self { proxy, services, clusters, clock }
    }

    /// People who come through the proxy. Every service has the same keys, so any of them makes their tokens.
    pub fn outside(&self) -> Outside<'_> {
        self.services[0].from_outside(&self.proxy.url())
    }

    /// An outfit that was opened and furnished through the proxy.
    pub fn furnish(&self) -> Furnished {
        let outside = self.outside();
        Furnished::with(&outside.operator(), &|outfit, role, mill| outside.member(outfit, role, mill))
    }

    /// How many rows each cluster has of each outfit.
    pub fn rows(&self) -> [BTreeMap<String, u64>; 3] {
        [0, 1, 2].map(|number| {
            let mut rows = BTreeMap::new();
            for ((_, outfit), count) in Inspector::connect(&self.clusters[number].url()).counts() {
                *rows.entry(outfit).or_default() += count;
            }
            rows.retain(|_, count| *count > 0);
            rows
        })
    }

    /// The cluster that has the books of an outfit, of which there must be one.
    pub fn place_of(&self, outfit: OutfitId) -> usize {
        let rows = self.rows();
        let having: Vec<_> =
            (0..3).filter(|number| rows[*number].contains_key(&outfit.to_string())).collect();
        assert_eq!(having.len(), 1, "the books of {outfit} are on {having:?}");
        having[0]
    }
}

fn parts(url: String, clock: Arc<SettableClock>) -> Parts {
    let nowhere = api::events::allowed::AllowedTargets::default();
    Parts {
        url,
        connections: 4,
        token_seed: [7; 32],
        retired_token_seeds: Vec::new(),
        external: None,
        clock,
        entropy: Arc::new(SystemEntropy),
        secrets_seed: [8; 32],
        sender: Arc::new(HttpSender::new(nowhere).expect("a sender can be made")),
        limits: Limits::wide(),
    }
}
