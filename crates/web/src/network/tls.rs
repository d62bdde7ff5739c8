//! TLS for other devices: an authority of the studio's own, made once, and a certificate for this machine made from it
//! whenever its names or addresses change; or a certificate of the owner's.
//!
//! The authority can only vouch for names and addresses of a local network (name constraints of RFC 5280, 4.2.1.10), so
//! that a tablet that trusts it trusts it for nothing else. The certificate lies nowhere: its key is made at each start.

use super::names::{Names, is_of_a_local_network};
use jiff::ToSpan;
use jiff::civil::Date;
use rcgen::{
    BasicConstraints, CertificateParams, CidrSubnet, DistinguishedName, DnType, ExtendedKeyUsagePurpose,
    GeneralSubtree, IsCa, Issuer, KeyPair, KeyUsagePurpose, NameConstraints, SanType,
};
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use std::sync::{Arc, PoisonError, RwLock};
use store::HostFile;
use tokio_rustls::rustls;
use tokio_rustls::rustls::crypto::ring::default_provider;
use tokio_rustls::rustls::pki_types::pem::PemObject;
use tokio_rustls::rustls::pki_types::{CertificateDer, PrivateKeyDer};
use tokio_rustls::rustls::server::{ClientHello, ResolvesServerCert};
use tokio_rustls::rustls::sign::CertifiedKey;
use tokio_rustls::rustls::{ServerConfig, version};

/// How long a certificate lasts, days. Standard: browsers refuse longer ones (CA/Browser Forum baseline, 398 days).
const LASTS_DAYS: i32 = 397;
/// With so many days left it is made anew. House choice.
const ANEW_AT_DAYS: i32 = 30;
/// How long the authority lasts, years. House choice: a tablet is told to trust it once in its life.
const AUTHORITY_YEARS: i16 = 10;

/// Why there is no TLS.
#[derive(Debug, thiserror::Error)]
pub enum TlsError {
    /// The authority's document, or a file of the owner's, cannot be read or written.
    #[error("{path}: {why}")]
    File {
        /// The file.
        path: String,
        /// Why.
        why: String,
    },
    /// A certificate could not be made or does not fit its key.
    #[error("the certificate cannot be used: {0}")]
    Unusable(String),
}

impl From<rcgen::Error> for TlsError {
    fn from(error: rcgen::Error) -> Self {
        Self::Unusable(error.to_string())
    }
}

impl From<rustls::Error> for TlsError {
    fn from(error: rustls::Error) -> Self {
        Self::Unusable(error.to_string())
    }
}

impl From<std::io::Error> for TlsError {
    fn from(error: std::io::Error) -> Self {
        Self::File { path: "the studio's certificate authority".to_owned(), why: error.to_string() }
    }
}

/// The studio's own authority, as it is kept.
#[derive(Clone, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Authority {
    /// What it calls itself, and a device lists it as.
    pub(crate) name: String,
    /// The machine's own name, which it may vouch for.
    machine: Option<String>,
    /// Its certificate.
    pub(crate) certificate_pem: String,
    key_pem: String,
}

impl std::fmt::Debug for Authority {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "Authority({})", self.name)
    }
}

impl Authority {
    /// The authority of a studio: as it is kept, or made now and kept.
    pub(crate) fn of(file: &HostFile, machine: Option<&str>, today: Date) -> Result<Self, TlsError> {
        let unreadable = |error: serde_json::Error| TlsError::File {
            path: file.path().display().to_string(),
            why: format!(
                "it is no certificate authority of a studio ({error}); set it aside and a new one is made"
            ),
        };
        if let Some(bytes) = file.read()? {
            return serde_json::from_slice(&bytes).map_err(unreadable);
        }
        file.change(|there| {
            let authority = match there {
                // another server was quicker
                Some(bytes) => serde_json::from_slice(&bytes).map_err(unreadable)?,
                None => Self::make(machine, today)?,
            };
            let bytes = serde_json::to_vec_pretty(&authority).map_err(unreadable)?;
            Ok((bytes, authority))
        })
    }

    fn make(machine: Option<&str>, today: Date) -> Result<Self, TlsError> {
        let name = format!("Lengthwise studio on {}, {today}", machine.unwrap_or("this machine"));
        let key = KeyPair::generate()?;
        let mut params = authority_params(&name, machine);
        lasts(&mut params, today, today.saturating_add(AUTHORITY_YEARS.years()));
        let certificate = params.self_signed(&key)?;
        let machine = machine.map(str::to_owned);
        Ok(Self { name, machine, certificate_pem: certificate.pem(), key_pem: key.serialize_pem() })
    }

    /// Makes a certificate for this machine's names, with a key of its own.
    fn certificate_for(&self, names: &Names, today: Date) -> Result<CertifiedKey, TlsError> {
        let authority = authority_params(&self.name, self.machine.as_deref());
        let issuer = Issuer::from_params(&authority, KeyPair::from_pem(&self.key_pem)?);
        let mut params = CertificateParams::default();
        params.distinguished_name = name_of("Lengthwise studio");
        lasts(&mut params, today, today.saturating_add(LASTS_DAYS.days()));
        params.key_usages = vec![KeyUsagePurpose::DigitalSignature];
        params.extended_key_usages = vec![ExtendedKeyUsagePurpose::ServerAuth];
        params.use_authority_key_identifier_extension = true;
        let may = |name: &&String| is_local_name(name) || self.machine.as_ref() == Some(*name);
        let named = names.names.iter().filter(may);
        let named = named.filter_map(|name| Some(SanType::DnsName(name.as_str().try_into().ok()?)));
        let placed = names.addresses.iter().filter(|address| is_of_a_local_network(**address));
        params.subject_alt_names = named.chain(placed.map(|address| SanType::IpAddress(*address))).collect();
        let key = KeyPair::generate()?;
        let certificate = params.signed_by(&key, &issuer)?;
        let chain = vec![certificate.der().clone(), certificate_of(&self.certificate_pem)?];
        let key = PrivateKeyDer::try_from(key.serialize_der())
            .map_err(|error| TlsError::Unusable(error.to_owned()))?;
        Ok(CertifiedKey::from_der(chain, key, &default_provider())?)
    }

    /// SHA-256 of the authority's certificate, in pairs of digits, as devices show it.
    pub(crate) fn fingerprint(&self) -> String {
        let der = certificate_of(&self.certificate_pem).map(|der| der.to_vec()).unwrap_or_default();
        let pairs: Vec<String> = Sha256::digest(der).iter().map(|byte| format!("{byte:02X}")).collect();
        pairs.join(":")
    }
}

/// Names of a local network or a home (RFC 6762, RFC 8375).
fn is_local_name(name: &str) -> bool {
    LOCAL_DOMAINS.iter().any(|domain| name.ends_with(&format!(".{domain}")))
}

const LOCAL_DOMAINS: [&str; 3] = ["local", "home.arpa", "internal"];

fn authority_params(name: &str, machine: Option<&str>) -> CertificateParams {
    let mut params = CertificateParams::default();
    params.distinguished_name = name_of(name);
    params.is_ca = IsCa::Ca(BasicConstraints::Constrained(0));
    params.key_usages = vec![KeyUsagePurpose::KeyCertSign, KeyUsagePurpose::CrlSign];
    let v4 = |address: [u8; 4], bits| CidrSubnet::from_v4_prefix(address, bits);
    let v6 = |first: u8, second: u8, bits| {
        let mut address = [0; 16];
        (address[0], address[1]) = (first, second);
        CidrSubnet::from_v6_prefix(address, bits)
    };
    let networks = [
        v4([10, 0, 0, 0], 8),
        v4([172, 16, 0, 0], 12),
        v4([192, 168, 0, 0], 16),
        v4([169, 254, 0, 0], 16),
        v4([127, 0, 0, 0], 8),
        v6(0xfc, 0, 7),
        v6(0xfe, 0x80, 10),
    ];
    let names = LOCAL_DOMAINS.into_iter().chain(machine);
    let permitted_subtrees = networks
        .map(GeneralSubtree::IpAddress)
        .into_iter()
        .chain(names.map(|name| GeneralSubtree::DnsName(name.to_owned())))
        .collect();
    params.name_constraints = Some(NameConstraints { permitted_subtrees, excluded_subtrees: Vec::new() });
    params
}

fn name_of(name: &str) -> DistinguishedName {
    let mut distinguished = DistinguishedName::new();
    distinguished.push(DnType::CommonName, name);
    distinguished
}

fn certificate_of(pem: &str) -> Result<CertificateDer<'static>, TlsError> {
    CertificateDer::from_pem_slice(pem.as_bytes()).map_err(|error| TlsError::Unusable(error.to_string()))
}

/// From the day before, since a tablet's clock may be a little behind.
fn lasts(params: &mut CertificateParams, today: Date, until: Date) {
    let part = |number: i8| u8::try_from(number).unwrap_or(1);
    let midnight =
        |day: Date| rcgen::date_time_ymd(i32::from(day.year()), part(day.month()), part(day.day()));
    params.not_before = midnight(today.saturating_sub(1.day()));
    params.not_after = midnight(until);
}

/// Whose certificate is shown.
#[derive(Debug)]
pub(crate) enum Certificates {
    /// The studio's own.
    Own(Authority),
    /// The owner's, from files.
    Given(Arc<CertifiedKey>),
}

impl Certificates {
    /// Reads a certificate chain and its key from files in PEM.
    pub(crate) fn given(certificate: &std::path::Path, key: &std::path::Path) -> Result<Self, TlsError> {
        let at =
            |path: &std::path::Path, why: String| TlsError::File { path: path.display().to_string(), why };
        let chain: Result<Vec<_>, _> = CertificateDer::pem_file_iter(certificate)
            .map_err(|error| at(certificate, error.to_string()))?
            .collect();
        let chain = chain.map_err(|error| at(certificate, error.to_string()))?;
        if chain.is_empty() {
            return Err(at(certificate, "expected a certificate in PEM, found none".to_owned()));
        }
        let key_der = PrivateKeyDer::from_pem_file(key)
            .map_err(|error| at(key, format!("expected a key in PEM: {error}")))?;
        Ok(Self::Given(Arc::new(CertifiedKey::from_der(chain, key_der, &default_provider())?)))
    }
}

/// The certificate that is shown now.
#[derive(Debug)]
pub(crate) struct Shown {
    certificates: Certificates,
    now: RwLock<(Arc<CertifiedKey>, Names, Date)>,
}

impl Shown {
    pub(crate) fn new(certificates: Certificates, names: Names, today: Date) -> Result<Self, TlsError> {
        let key = made(&certificates, &names, today)?;
        Ok(Self { certificates, now: RwLock::new((key, names, today)) })
    }

    /// The studio's own authority; none with a certificate of the owner's.
    pub(crate) fn authority(&self) -> Option<&Authority> {
        match &self.certificates {
            Certificates::Own(authority) => Some(authority),
            Certificates::Given(_) => None,
        }
    }

    /// The names that are answered to.
    pub(crate) fn names(&self) -> Names {
        self.now.read().unwrap_or_else(PoisonError::into_inner).1.clone()
    }

    /// Makes the certificate anew where it is nearly over or the machine is reached elsewhere; tells whether it was.
    pub(crate) fn renew(&self, names: Names, today: Date) -> Result<bool, TlsError> {
        let (was_named, since) = {
            let now = self.now.read().unwrap_or_else(PoisonError::into_inner);
            (now.1.clone(), now.2)
        };
        let is_nearly_over = today >= since.saturating_add((LASTS_DAYS - ANEW_AT_DAYS).days());
        if was_named == names && !is_nearly_over {
            return Ok(false);
        }
        let key = made(&self.certificates, &names, today)?;
        *self.now.write().unwrap_or_else(PoisonError::into_inner) = (key, names, today);
        Ok(true)
    }
}

fn made(certificates: &Certificates, names: &Names, today: Date) -> Result<Arc<CertifiedKey>, TlsError> {
    match certificates {
        Certificates::Own(authority) => Ok(Arc::new(authority.certificate_for(names, today)?)),
        Certificates::Given(key) => Ok(Arc::clone(key)),
    }
}

#[derive(Debug)]
struct Resolver(Arc<Shown>);

impl ResolvesServerCert for Resolver {
    fn resolve(&self, _: ClientHello<'_>) -> Option<Arc<CertifiedKey>> {
        Some(Arc::clone(&self.0.now.read().unwrap_or_else(PoisonError::into_inner).0))
    }
}

/// TLS 1.2 and 1.3, HTTP/2 where the device speaks it.
pub(crate) fn config(shown: &Arc<Shown>) -> Result<ServerConfig, TlsError> {
    let mut config = ServerConfig::builder_with_provider(Arc::new(default_provider()))
        .with_protocol_versions(&[&version::TLS13, &version::TLS12])?
        .with_no_client_auth()
        .with_cert_resolver(Arc::new(Resolver(Arc::clone(shown))));
    config.alpn_protocols = vec![b"h2".to_vec(), b"http/1.1".to_vec()];
    Ok(config)
}

#[cfg(test)]
mod tests {
    use super::{Authority, Certificates};
    use crate::network::names::Names;
    use jiff::civil::date;
    use rcgen::{CertificateParams, KeyPair};

    #[test]
    fn a_certificate_of_the_owners_is_taken_with_its_own_key_alone() {
        let folder = std::env::temp_dir().join(format!("lengthwise-tls-{}", std::process::id()));
        std::fs::create_dir_all(&folder).unwrap();
        let at = |name: &str, text: &str| {
            let path = folder.join(name);
            std::fs::write(&path, text).unwrap();
            path
        };
        let (key, other) = (KeyPair::generate().unwrap(), KeyPair::generate().unwrap());
        let params = CertificateParams::new(vec!["studio.example".to_owned()]).unwrap();
        let certificate = at("cert.pem", &params.self_signed(&key).unwrap().pem());
        let (key, other) = (at("key.pem", &key.serialize_pem()), at("other.pem", &other.serialize_pem()));
        assert!(matches!(Certificates::given(&certificate, &key), Ok(Certificates::Given(_))));
        for (wrong_certificate, wrong_key) in
            [(&certificate, &other), (&key, &key), (&certificate, &certificate), (&folder.join("none"), &key)]
        {
            assert!(Certificates::given(wrong_certificate, wrong_key).is_err());
        }
        std::fs::remove_dir_all(&folder).unwrap();
    }

    #[test]
    fn an_authority_vouches_for_local_names_alone() {
        let authority = Authority::make(Some("bench"), date(2026, 11, 28)).unwrap();
        let names = Names {
            names: vec!["bench".to_owned(), "bench.local".to_owned(), "studio.example".to_owned()],
            addresses: vec![[192, 168, 1, 5].into(), [93, 184, 216, 34].into()],
            port: 7743,
        };
        let made = authority.certificate_for(&names, date(2026, 11, 28)).unwrap();
        let leaf = made.cert[0].as_ref();
        let holds = |part: &[u8]| leaf.windows(part.len()).any(|window| window == part);
        assert!(holds(b"bench.local") && holds(&[192, 168, 1, 5]));
        assert!(!holds(b"studio.example") && !holds(&[93, 184, 216, 34]));
        // pairs of digits of a SHA-256
        assert_eq!(authority.fingerprint().split(':').count(), 32);
    }
}
