//! A network that fails: what stands between a bench and the server, and cuts each
//! connection after so many bytes.

use std::io::{Read as _, Write as _};
use std::net::{Shutdown, TcpListener, TcpStream};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicI64, AtomicU64, Ordering};

/// A proxy of a port of this machine.
pub(crate) struct Proxy {
    pub(crate) port: u16,
    /// Connections that were cut.
    pub(crate) cuts: Arc<AtomicU64>,
    is_whole: Arc<AtomicBool>,
}

impl Proxy {
    /// Cuts the n-th connection after `limit(n)` bytes, both ways together.
    pub(crate) fn new(to: u16, limit: impl Fn(i64) -> i64 + Send + 'static) -> Self {
        let listener = TcpListener::bind("127.0.0.1:0").unwrap();
        let port = listener.local_addr().unwrap().port();
        let (cuts, is_whole) = (Arc::new(AtomicU64::new(0)), Arc::new(AtomicBool::new(false)));
        let (counted, whole) = (Arc::clone(&cuts), Arc::clone(&is_whole));
        std::thread::spawn(move || {
            for (number, bench) in (0..).zip(listener.incoming().flatten()) {
                let most = if whole.load(Ordering::Relaxed) { i64::MAX } else { limit(number) };
                // A server that is down takes nobody: the bench sees its connection end.
                let Ok(server) = TcpStream::connect(("127.0.0.1", to)) else { continue };
                let left = Arc::new(AtomicI64::new(most));
                for (from, to) in [(&bench, &server), (&server, &bench)] {
                    let (from, to) = (from.try_clone().unwrap(), to.try_clone().unwrap());
                    let (left, cuts) = (Arc::clone(&left), Arc::clone(&counted));
                    std::thread::spawn(move || pass(from, to, &left, &cuts));
                }
            }
        });
        Self { port, cuts, is_whole }
    }

    /// From now on nothing is cut.
    pub(crate) fn heal(&self) {
        self.is_whole.store(true, Ordering::Relaxed);
    }
}

fn pass(mut from: TcpStream, mut to: TcpStream, left: &AtomicI64, cuts: &AtomicU64) {
    let mut bytes = [0; 4096];
    while let Ok(read @ 1..) = from.read(&mut bytes) {
        let before = left.fetch_sub(i64::try_from(read).unwrap(), Ordering::Relaxed);
        let passed = read.min(usize::try_from(before.max(0)).unwrap());
        if to.write_all(&bytes[..passed]).is_err() {
            break;
        }
        if passed < read {
            cuts.fetch_add(1, Ordering::Relaxed);
            break;
        }
    }
    let _ = from.shutdown(Shutdown::Both);
    let _ = to.shutdown(Shutdown::Both);
}
