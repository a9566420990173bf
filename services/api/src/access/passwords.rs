//! Passwords: Argon2id, away from the threads that serve requests, and only a few at a time.

use std::sync::{Arc, OnceLock};
use std::time::Duration;

use argon2::password_hash::{Error as HashError, PasswordHasher, PasswordVerifier};
use argon2::{Algorithm, Argon2, Params, Version};
use kernel::Entropy;
use tokio::sync::Semaphore;
use wire::Code;

use crate::http::refusal::Refusal;

/// Memory in KiB, passes and lanes: the first of the settings that OWASP's advice on storing passwords gives for
/// Argon2id (19 MiB, 2, 1).
const COST: (u32, u32, u32) = (19 * 1024, 2, 1);
/// How many are computed at once: each takes the memory above and a core.
const AT_ONCE: usize = 4;
/// How long one waits for its turn.
const WAIT: Duration = Duration::from_secs(5);

/// Makes and checks hashes of passwords.
#[derive(Clone)]
pub struct Passwords {
    entropy: Arc<dyn Entropy>,
    turns: Arc<Semaphore>,
    nobodys: Arc<OnceLock<String>>,
}

impl std::fmt::Debug for Passwords {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        formatter.write_str("Passwords")
    }
}

fn argon2() -> Result<Argon2<'static>, HashError> {
    let (memory, passes, lanes) = COST;
    let params = Params::new(memory, passes, lanes, None).map_err(|_| HashError::ParamsInvalid)?;
    Ok(Argon2::new(Algorithm::Argon2id, Version::V0x13, params))
}

fn hashed(password: &[u8], salt: [u8; 16]) -> Result<String, HashError> {
    Ok(argon2()?.hash_password_with_salt(password, &salt)?.to_string())
}

impl Passwords {
    /// Salts come from `entropy`.
    #[must_use]
    pub fn new(entropy: Arc<dyn Entropy>) -> Self {
        Self { entropy, turns: Arc::new(Semaphore::new(AT_ONCE)), nobodys: Arc::default() }
    }

    /// What is kept of a password: its hash with parameters and salt, as a PHC string.
    ///
    /// # Errors
    ///
    /// [`Code::Unavailable`] when too many are computed already.
    pub async fn hash(&self, password: &str) -> Result<String, Refusal> {
        let mut salt = [0; 16];
        self.entropy.fill(&mut salt);
        let password = password.as_bytes().to_vec();
        self.aside(move || hashed(&password, salt)).await?.map_err(failed)
    }

    /// Whether a password is the one that `kept` was made of. Without one it takes as long and answers no.
    ///
    /// # Errors
    ///
    /// [`Code::Unavailable`] when too many are computed already.
    pub async fn check(&self, password: &str, kept: Option<String>) -> Result<bool, Refusal> {
        let (password, nobodys) = (password.as_bytes().to_vec(), self.nobodys.clone());
        let checked = self.aside(move || match kept {
            Some(kept) => argon2()?.verify_password(&password, kept.as_str()).map(|()| true),
            None => {
                let kept = match nobodys.get() {
                    Some(kept) => kept.clone(),
                    None => {
                        let kept = hashed(b"nobody has this password", [7; 16])?;
                        nobodys.get_or_init(|| kept).clone()
                    }
                };
                argon2()?.verify_password(&password, kept.as_str()).map(|()| false)
            }
        });
        match checked.await? {
            Ok(right) => Ok(right),
            Err(HashError::PasswordInvalid) => Ok(false),
            Err(error) => Err(failed(error)),
        }
    }

    async fn aside<T: Send + 'static>(
        &self,
        work: impl FnOnce() -> T + Send + 'static,
    ) -> Result<T, Refusal> {
        let busy = || Refusal::new(Code::Unavailable, "too many passwords are looked at in this moment");
        let turn = tokio::time::timeout(WAIT, self.turns.clone().acquire_owned()).await;
        let turn = turn.map_err(|_| busy())?.map_err(|_| busy())?;
        // The turn goes along: whoever hangs up does not make room before the work is done.
        let done = tokio::task::spawn_blocking(move || {
            let done = work();
            drop(turn);
            done
        });
        done.await.map_err(Refusal::internal)
    }
}

fn failed(error: HashError) -> Refusal {
    Refusal::internal(error.to_string())
}

#[cfg(test)]
mod tests {
    use kernel::SystemEntropy;

    use super::*;

    fn run<T>(work: impl Future<Output = T>) -> T {
        tokio::runtime::Builder::new_current_thread().enable_all().build().unwrap().block_on(work)
    }

    #[test]
    fn the_right_password_and_no_other() {
        run(async {
            let passwords = Passwords::new(Arc::new(SystemEntropy));
            let kept = passwords.hash("axe file under snow").await.unwrap();
            assert!(kept.starts_with("$argon2id$v=19$m=19456,t=2,p=1$"), "{kept}");
            assert!(passwords.check("axe file under snow", Some(kept.clone())).await.unwrap());
            assert!(!passwords.check("axe file under Snow", Some(kept.clone())).await.unwrap());
            assert_ne!(kept, passwords.hash("axe file under snow").await.unwrap(), "salts differ");
            assert!(!passwords.check("nobody has this password", None).await.unwrap());
            assert!(passwords.check("x", Some("no hash".to_owned())).await.is_err());
        });
    }
}
