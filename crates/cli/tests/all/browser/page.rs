//! A page as a person meets it: it is looked at, pressed and typed into, never scripted past.

use super::cdp::{ANSWER_WITHIN, Browser};
use serde_json::{Value, json};
use setwright::clock;
use std::time::Duration;

/// What the page is seen on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Screen {
    /// A phone, held upright, with a thumb.
    Phone,
    /// A laptop with a mouse.
    UnitOfWork,
}

impl Screen {
    /// Width and height in CSS pixels.
    pub const fn size(self) -> (u32, u32) {
        match self {
            Self::Phone => (390, 844),
            Self::UnitOfWork => (1280, 900),
        }
    }
}

/// An open page.
pub struct Page {
    /// Its browser.
    pub browser: Browser,
    session: String,
    screen: Screen,
}

impl Page {
    /// Opens an empty page; `before` is run by every document before its own scripts (a wrong clock, for one).
    pub fn new(mut browser: Browser, screen: Screen, before: &str) -> Self {
        let target = browser.call(None, "Target.createTarget", &json!({ "url": "about:blank" }));
        let id = target["targetId"].clone();
        let attached =
            browser.call(None, "Target.attachToTarget", &json!({ "targetId": id, "flatten": true }));
        let session = attached["sessionId"].as_str().unwrap().to_owned();
        let mut page = Self { browser, session, screen };
        for domain in ["Page.enable", "Runtime.enable", "Log.enable"] {
            page.call(domain, json!({}));
        }
        let (width, height) = screen.size();
        let mobile = screen == Screen::Phone;
        page.call(
            "Emulation.setDeviceMetricsOverride",
            json!({ "width": width, "height": height, "deviceScaleFactor": 1, "mobile": mobile }),
        );
        page.call("Emulation.setTouchEmulationEnabled", json!({ "enabled": mobile }));
        if !before.is_empty() {
            page.call("Page.addScriptToEvaluateOnNewDocument", json!({ "source": before }));
        }
        page
    }

    /// A method of the page.
    #[allow(clippy::needless_pass_by_value, reason = "what is sent is made where it is sent")]
    pub fn call(&mut self, method: &str, params: Value) -> Value {
        let session = self.session.clone();
        self.browser.call(Some(&session), method, &params)
    }

    /// Goes to an address.
    pub fn go(&mut self, address: &str) {
        self.call("Page.navigate", json!({ "url": address }));
        self.wait("document.readyState === 'complete' && location.href !== 'about:blank'");
        // The floor page draws itself from what the device holds, after it has come.
        self.wait("!document.getElementById('floor') || document.querySelector('#floor [role=status]')");
    }

    /// Loads the page again.
    pub fn reload(&mut self) {
        self.call("Page.reload", json!({}));
        std::thread::sleep(Duration::from_millis(200));
        self.wait("document.readyState === 'complete'");
    }

    /// The value of an expression.
    pub fn eval(&mut self, expression: &str) -> Value {
        let params = json!({ "expression": expression, "awaitPromise": true, "returnByValue": true });
        let answer = self.call("Runtime.evaluate", params);
        assert!(answer.get("exceptionDetails").is_none(), "{expression}: {}", answer["exceptionDetails"]);
        answer["result"]["value"].clone()
    }

    /// Waits until an expression is true.
    pub fn wait(&mut self, expression: &str) {
        self.until(expression, &format!("Boolean({expression}) || null"));
    }

    /// Waits until an expression has a value. While a page gives way to another there is nothing to ask: the browser
    /// refuses, or the expression stumbles over what has not come yet, and both are asked again.
    fn until(&mut self, what: &str, expression: &str) -> Value {
        let watch = clock::wall().stopwatch();
        let session = self.session.clone();
        let params = json!({ "expression": expression, "returnByValue": true });
        loop {
            let answer = self.browser.ask(Some(&session), "Runtime.evaluate", &params);
            let value = answer.as_ref().map_or(&Value::Null, |a| &a["result"]["value"]);
            if !value.is_null() {
                return value.clone();
            }
            assert!(!watch.is_past(ANSWER_WITHIN), "never came: {what}\n{answer:?}\n{}", self.text());
            std::thread::sleep(Duration::from_millis(50));
        }
    }

    /// What can be read.
    pub fn text(&mut self) -> String {
        self.eval("document.body?.innerText ?? ''").as_str().unwrap_or_default().to_owned()
    }

    /// Waits until the page shows these words.
    pub fn sees(&mut self, words: &str) {
        self.wait(&format!("document.body?.innerText.includes({})", json!(words)));
    }

    /// Presses the first visible thing that fits a selector and holds these words: with the thumb on a phone, else with
    /// the mouse.
    pub fn press(&mut self, selector: &str, words: &str) {
        self.press_often(selector, words, 1);
    }

    /// Presses so many times at the same place, whatever comes to be there.
    pub fn press_often(&mut self, selector: &str, words: &str, times: usize) {
        let (x, y) = self.place(selector, words);
        for _ in 0..times {
            self.press_at(x, y);
        }
    }

    fn press_at(&mut self, x: f64, y: f64) {
        if self.screen == Screen::Phone {
            let at = json!([{ "x": x, "y": y }]);
            self.call("Input.dispatchTouchEvent", json!({ "type": "touchStart", "touchPoints": at }));
            self.call("Input.dispatchTouchEvent", json!({ "type": "touchEnd", "touchPoints": [] }));
        } else {
            for kind in ["mousePressed", "mouseReleased"] {
                let params = json!({ "type": kind, "x": x, "y": y, "button": "left", "clickCount": 1 });
                self.call("Input.dispatchMouseEvent", params);
            }
        }
    }

    fn place(&mut self, selector: &str, words: &str) -> (f64, f64) {
        let found = format!(
            "[...document.querySelectorAll({})].find((n) => n.checkVisibility() && n.textContent.includes({}))",
            json!(selector),
            json!(words)
        );
        // Found and measured in one step: between two the page may have given way to the next.
        let place = self.until(
            &found,
            &format!(
                "(() => {{ const n = {found}; if (!n) return null; \
                 n.scrollIntoView({{ block: 'center', behavior: 'instant' }}); \
                 const r = n.getBoundingClientRect(); \
                 const [x, y] = [r.x + r.width / 2, r.y + r.height / 2]; const top = document.elementFromPoint(x, y); \
                 return [x, y, n === top || n.contains(top) || (top?.contains(n) ?? false)]; }})()"
            ),
        );
        assert_eq!(place[2], json!(true), "{selector} {words} is covered by something");
        (place[0].as_f64().unwrap(), place[1].as_f64().unwrap())
    }

    /// Types into what has the focus.
    pub fn types(&mut self, text: &str) {
        self.call("Input.insertText", json!({ "text": text }));
    }

    /// Presses a key by its name.
    pub fn key(&mut self, key: &str) {
        let code = match key {
            "Tab" => 9,
            "Enter" => 13,
            "Escape" => 27,
            " " => 32,
            "End" => 35,
            "ArrowLeft" => 37,
            "ArrowUp" => 38,
            "ArrowRight" => 39,
            "ArrowDown" => 40,
            other => panic!("a key that was not thought of: {other}"),
        };
        let text = match key {
            "Enter" => "\r",
            " " => " ",
            _ => "",
        };
        let down = json!({ "type": if text.is_empty() { "rawKeyDown" } else { "keyDown" }, "key": key, "code": key, "text": text,
                           "windowsVirtualKeyCode": code });
        self.call("Input.dispatchKeyEvent", down);
        let up = json!({ "type": "keyUp", "key": key, "code": key, "windowsVirtualKeyCode": code });
        self.call("Input.dispatchKeyEvent", up);
    }

    /// A picture of the whole page as PNG, in base64.
    pub fn picture(&mut self) -> String {
        let params = json!({ "format": "png", "captureBeyondViewport": true });
        self.call("Page.captureScreenshot", params)["data"].as_str().unwrap().to_owned()
    }
}
