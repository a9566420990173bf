//! Whether a delivery is the service's: the cases that Standard Webhooks 1.0.0 publishes, and ours.

use client::events::{Delivery, Secret, SecretError, VerifyError, sign, verify};
use jiff::Timestamp;

/// The first published case.
const SECRET: &str = "whsec_C2FVsBQIhrscChlQIMV+b5sSYspob7oD";
const ID: &str = "msg_27UH4WbU6Z5A5EzD8u03UvzRbpk";
const SENT: i64 = 1_649_367_553;
const BODY: &[u8] = br#"{"email":"test@example.com","username":"test_user"}"#;
const SIGNATURE: &str = "v1,tZ1I4/hDygAJgO5TYxiSd6Sd0kDW6hPenDe+bTa3Kkw=";

fn secret(text: &str) -> Secret {
    text.parse().unwrap()
}

fn at(second: i64) -> Timestamp {
    Timestamp::from_second(second).unwrap()
}

fn verified(signature: &str, now: i64) -> Result<(), VerifyError> {
    let timestamp = SENT.to_string();
    let delivery = Delivery { id: ID, timestamp: &timestamp, signature, body: BODY };
    verify(&delivery, &[secret(SECRET)], at(now))
}

#[test]
fn both_published_signatures_come_out_and_go_in() {
    let second = (
        "whsec_MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaSw",
        "msg_p5jXN8AQM9LWM0D4loKWxJek",
        1_614_265_330,
        br#"{"test": 2432232314}"#.as_slice(),
        "v1,g0hM9SsE+OTPJTGt/tmIKtSyZlE3uFJELVlNIOLJ1OE=",
    );
    for (text, id, sent, body, signature) in [(SECRET, ID, SENT, BODY, SIGNATURE), second] {
        let secrets = [secret(text)];
        assert_eq!(sign(&secrets, id, at(sent), body), signature);
        let timestamp = sent.to_string();
        let delivery = Delivery { id, timestamp: &timestamp, signature, body };
        assert_eq!(verify(&delivery, &secrets, at(sent)), Ok(()));
        // A blank less in the body is another body.
        let squeezed: Vec<u8> = body.iter().copied().filter(|byte| *byte != b' ').collect();
        let changed = Delivery { body: &squeezed, ..delivery };
        assert_eq!(verify(&changed, &secrets, at(sent)).is_ok(), squeezed == body);
    }
}

#[test]
fn what_is_published_as_wrong_is_refused() {
    assert_eq!(verified(SIGNATURE, SENT), Ok(()));
    let cut = SIGNATURE.chars().take(SIGNATURE.len() - 8).collect::<String>();
    for wrong in ["v1,", "", "v1", &cut, "v1,=", "v1a,tZ1I4/hDygAJgO5TYxiSd6Sd0kDW6hPenDe+bTa3Kkw="] {
        assert_eq!(verified(wrong, SENT), Err(VerifyError::NotSigned), "{wrong}");
    }
    assert_eq!(verified(SIGNATURE, SENT + 300), Ok(()));
    assert_eq!(verified(SIGNATURE, SENT + 301), Err(VerifyError::TooOld));
    assert_eq!(verified(SIGNATURE, SENT - 300), Ok(()));
    assert_eq!(verified(SIGNATURE, SENT - 301), Err(VerifyError::TooNew));
    assert_eq!("whsec_".parse::<Secret>(), Err(SecretError::Length));
    assert_eq!("C2FVsBQIhrscChlQIMV+b5sSYspob7oD".parse::<Secret>(), Err(SecretError::Prefix));
    assert_eq!("whsec_C2FV*".parse::<Secret>(), Err(SecretError::NotBase64));
}

#[test]
fn one_good_signature_among_several_is_enough() {
    let other = secret("whsec_MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaSw");
    let both = sign(&[other.clone(), secret(SECRET)], ID, at(SENT), BODY);
    assert_eq!(both.split(' ').count(), 2);
    assert_eq!(verified(&both, SENT), Ok(()));
    assert_eq!(verified(&format!("v2,future {both}"), SENT), Ok(()));
    let foreign = sign(&[other], ID, at(SENT), BODY);
    assert_eq!(verified(&foreign, SENT), Err(VerifyError::NotSigned));
}

#[test]
fn everything_that_is_signed_counts() {
    let secrets = [secret(SECRET)];
    let timestamp = SENT.to_string();
    let good = Delivery { id: ID, timestamp: &timestamp, signature: SIGNATURE, body: BODY };
    let later = (SENT + 1).to_string();
    for changed in [
        Delivery { id: "msg_other", ..good },
        Delivery { timestamp: &later, ..good },
        Delivery { body: b"{}", ..good },
    ] {
        assert_eq!(verify(&changed, &secrets, at(SENT)), Err(VerifyError::NotSigned), "{changed:?}");
    }
    for unreadable in ["", "soon", "1649367553.5", "99999999999999999999"] {
        let changed = Delivery { timestamp: unreadable, ..good };
        assert_eq!(verify(&changed, &secrets, at(SENT)), Err(VerifyError::TimestampUnreadable));
    }
    assert_eq!(verify(&good, &[], at(SENT)), Err(VerifyError::NotSigned));
}
