//! The doors in the network, and their codes for a phone.

use crate::talk::PhoneOn;
use qrcode::render::unicode::Dense1x2;
use qrcode::{Color, EcLevel, QrCode};
use std::fmt::Write;
use std::net::{IpAddr, Ipv4Addr, UdpSocket};

/// The addresses that this machine has in networks of its own, the one it usually speaks with first. An
/// address that the whole internet can reach is none of them.
///
/// # Errors
/// A sentence, when there is none or the machine does not tell.
pub fn addresses() -> Result<Vec<Ipv4Addr>, String> {
    let told = if_addrs::get_if_addrs()
        .map_err(|e| format!("This machine does not tell its addresses in the network: {e}."))?;
    let mut all: Vec<Ipv4Addr> = told
        .iter()
        .filter_map(|i| match i.ip() {
            IpAddr::V4(ip) if is_ours(ip) => Some(ip),
            _ => None,
        })
        .collect();
    let usual = usual();
    all.sort_by_key(|ip| (Some(*ip) != usual, *ip));
    all.dedup();
    if all.is_empty() {
        return Err("This machine has no address in a network of its own (192.168.…, 10.…, 172.16.… to 172.31.…, or 169.254.… over a cable). Join one, or leave `--lan` out.".to_owned());
    }
    Ok(all)
}

/// An address that the builder named, when it may be served.
///
/// # Errors
/// A sentence, when the whole internet could reach it.
pub fn allowed(address: Ipv4Addr) -> Result<Ipv4Addr, String> {
    if is_ours(address) || address.is_loopback() {
        return Ok(address);
    }
    Err(format!(
        "{address} is no address of a network of your own (192.168.…, 10.…, 172.16.… to 172.31.…, 169.254.…): others than you mean could reach it, so nothing is served there."
    ))
}

/// Of a network at home, in a club or over a cable (RFC 1918, RFC 3927).
fn is_ours(ip: Ipv4Addr) -> bool {
    ip.is_private() || ip.is_link_local()
}

/// The address from which the machine would speak to others; nothing is sent for that.
fn usual() -> Option<Ipv4Addr> {
    let socket = UdpSocket::bind((Ipv4Addr::UNSPECIFIED, 0)).ok()?;
    // An address for documents (RFC 5737): it is only asked which way would lead there.
    socket.connect((Ipv4Addr::new(192, 0, 2, 1), 9)).ok()?;
    match socket.local_addr().ok()?.ip() {
        IpAddr::V4(ip) => Some(ip),
        IpAddr::V6(_) => None,
    }
}

fn code(address: &str) -> Option<QrCode> {
    // An address is far shorter than the longest text that such a code holds.
    QrCode::with_error_correction_level(address, EcLevel::M).ok()
}

/// An address with its code for a page.
pub fn phone(address: String) -> PhoneOn {
    let (mut size, mut path) = (0, String::new());
    if let Some(code) = code(&address) {
        size = code.width();
        for (y, row) in code.to_colors().chunks(size).enumerate() {
            let mut x = 0;
            for run in row.chunk_by(|a, b| a == b) {
                if run[0] == Color::Dark {
                    // Writing to a text does not fail.
                    let _ = write!(path, "M{x} {y}h{}v1h-{}z", run.len(), run.len());
                }
                x += run.len();
            }
        }
    }
    PhoneOn { address, size, path }
}

/// The code of an address for a terminal, two modules to a character, to be shown dark on light. Empty: there is none.
pub fn in_the_terminal(address: &str) -> String {
    code(address).map_or_else(String::new, |code| {
        code.render::<Dense1x2>().dark_color(Dense1x2::Dark).light_color(Dense1x2::Light).build()
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    const ADDRESS: &str = "http://192.168.178.100:40123/?key=0123456789abcdef0123456789abcdef";

    #[test]
    fn only_networks_of_ones_own_are_served() {
        for ours in ["192.168.1.5", "10.0.0.7", "172.16.3.4", "172.31.9.9", "169.254.7.7"] {
            assert!(is_ours(ours.parse().unwrap()), "{ours}");
        }
        for other in ["127.0.0.1", "8.8.8.8", "172.32.0.1", "0.0.0.0", "100.64.1.1", "203.0.113.5"] {
            assert!(!is_ours(other.parse().unwrap()), "{other}");
        }
        assert!(allowed(Ipv4Addr::LOCALHOST).is_ok() && allowed(Ipv4Addr::UNSPECIFIED).is_err());
        assert!(allowed(Ipv4Addr::new(203, 0, 113, 5)).unwrap_err().contains("nothing is served"));
    }

    #[test]
    fn the_code_on_a_page_is_the_code_of_the_address() {
        let phone = phone(ADDRESS.to_owned());
        let code = QrCode::with_error_correction_level(ADDRESS, EcLevel::M).unwrap();
        assert_eq!(phone.size, code.width());
        // The path, drawn again module by module.
        let mut dark = vec![Color::Light; phone.size * phone.size];
        for run in phone.path.split('M').filter(|r| !r.is_empty()) {
            let (at, rest) = run.split_once('h').unwrap();
            let (x, y) = at.split_once(' ').unwrap();
            let (x, y): (usize, usize) = (x.parse().unwrap(), y.parse().unwrap());
            let n: usize = rest.split_once('v').unwrap().0.parse().unwrap();
            dark[y * phone.size + x..][..n].fill(Color::Dark);
        }
        assert_eq!(dark, code.to_colors());
        let lines: Vec<usize> = in_the_terminal(ADDRESS).lines().map(|l| l.chars().count()).collect();
        // With its free edge of four modules all round, two rows to a line.
        assert_eq!(lines, vec![phone.size + 8; (phone.size + 8).div_ceil(2)]);
    }
}
