//! Access control: only a page of this program, in a browser of this machine, with the key.

use axum::extract::Request;
use axum::extract::State;
use axum::http::HeaderMap;
use axum::http::HeaderName;
use axum::http::HeaderValue;
use axum::http::Method;
use axum::http::StatusCode;
use axum::http::header;
use axum::middleware::Next;
use axum::response::IntoResponse;
use axum::response::Response;
use std::sync::Arc;

/// Restrictions on the browser: nothing from elsewhere.
const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; \
    connect-src 'self'; form-action 'none'; frame-ancestors 'none'; base-uri 'none'";

/// The key of a page, and where it is served.
#[derive(Clone, Debug)]
pub struct Key {
    key: Arc<str>,
    port: u16,
}

impl Key {
    /// A key, served at a port. It must be long and random: it is all that keeps others out.
    pub fn new(key: &str, port: u16) -> Self {
        Self { key: key.into(), port }
    }

    /// The address of the page.
    pub fn address(&self) -> String {
        format!("http://127.0.0.1:{}/?key={}", self.port, self.key)
    }

    fn cookie(&self) -> String {
        format!("platewright-{}", self.port)
    }

    /// Whether a text is the key: compared in one time, wherever it differs.
    fn is(&self, text: &str) -> bool {
        let (a, b) = (self.key.as_bytes(), text.as_bytes());
        a.len() == b.len() && a.iter().zip(b).fold(0, |all, (a, b)| all | (a ^ b)) == 0
    }

    fn is_in(&self, headers: &HeaderMap) -> bool {
        let name = self.cookie();
        let cookies =
            headers.get_all(header::COOKIE).iter().filter_map(|value| value.to_str().ok());
        let mut pairs =
            cookies.flat_map(|all| all.split(';')).filter_map(|one| one.split_once('='));
        pairs.any(|(of, value)| of.trim() == name && self.is(value.trim()))
    }

    fn hosts(&self) -> [String; 3] {
        ["127.0.0.1", "[::1]", "localhost"].map(|name| format!("{name}:{}", self.port))
    }

    /// Whether a request says that it is for this server, and from a page of it.
    fn is_for(&self, headers: &HeaderMap, method: &Method) -> bool {
        let text = |name: HeaderName| headers.get(name).and_then(|value| value.to_str().ok());
        let hosts = self.hosts();
        let Some(host) = text(header::HOST).filter(|host| hosts.iter().any(|own| own == host))
        else {
            return false;
        };
        let own = format!("http://{host}");
        match text(header::ORIGIN) {
            Some(origin) => origin == own,
            // A browser sends the origin with every request that does more than read.
            None => method == Method::GET || method == Method::HEAD,
        }
    }
}

/// Admits requests with the key; one with the key in its address gets it as a cookie.
pub(super) async fn guard(State(key): State<Key>, request: Request, next: Next) -> Response {
    let answer = if !key.is_for(request.headers(), request.method()) {
        (StatusCode::FORBIDDEN, "this is not the address of the page").into_response()
    } else if key.is_in(request.headers()) {
        next.run(request).await
    } else {
        enter(&key, &request)
    };
    dressed(answer)
}

fn enter(key: &Key, request: &Request) -> Response {
    let query = request.uri().query().unwrap_or_default();
    let brought = query.split('&').find_map(|pair| pair.strip_prefix("key="));
    if request.uri().path() != "/" || !brought.is_some_and(|brought| key.is(brought)) {
        let words = "open the address that `platewright page` printed: it holds the key";
        return (StatusCode::UNAUTHORIZED, words).into_response();
    }
    let name = key.cookie();
    let cookie = format!("{name}={}; Path=/; HttpOnly; SameSite=Strict", key.key);
    (StatusCode::SEE_OTHER, [(header::SET_COOKIE, cookie), (header::LOCATION, "/".to_owned())])
        .into_response()
}

/// Forbids the browser to cache, frame or guess the type.
fn dressed(mut answer: Response) -> Response {
    let all = [
        (header::CONTENT_SECURITY_POLICY, POLICY),
        (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
        (header::REFERRER_POLICY, "no-referrer"),
        (header::CACHE_CONTROL, "no-store"),
        (header::X_FRAME_OPTIONS, "DENY"),
    ];
    for (name, value) in all {
        answer.headers_mut().insert(name, HeaderValue::from_static(value));
    }
    answer
}
