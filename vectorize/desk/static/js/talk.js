/* Speaking with the desk that served this page. The address holds the token; every request stays below it. */

const root = new URL("./", window.location.href.split("#")[0]).href;

export const address = (path) => root + path;

async function answer(response) {
  if (response.ok) return response.status === 204 ? null : response.json();
  let message = "";
  try {
    ({ message } = await response.json());
  } catch {
    message = "";
  }
  throw new Error(message || `The desk does not answer as it should (${response.status}).`);
}

async function fetched(path, options) {
  let response;
  try {
    response = await fetch(address(path), options);
  } catch {
    throw new Error("The desk has been closed. Start it again in the terminal and open the address it prints.");
  }
  return answer(response);
}

export async function ask(method, path, body) {
  const options = { method, headers: {} };
  if (body !== undefined) {
    options.headers["Content-Type"] = "application/json";
    options.body = JSON.stringify(body);
  }
  return fetched(path, options);
}

export async function send(method, path, file) {
  const headers = { "X-File-Name": encodeURIComponent(file.name) };
  return fetched(path, { method, headers, body: file });
}

/* News for as long as the page is open; one JSON object a line. `onLost` is told when the desk goes and comes. */
export async function follow(onNews, onLost) {
  for (;;) {
    try {
      const response = await fetch(address("api/news"));
      if (response.status === 404) throw new Error("another desk");
      onLost(false);
      const reader = response.body.pipeThrough(new TextDecoderStream()).getReader();
      let rest = "";
      for (;;) {
        const { done, value } = await reader.read();
        if (done) break;
        const lines = (rest + value).split("\n");
        rest = lines.pop();
        lines.filter(Boolean).forEach((line) => onNews(JSON.parse(line)));
      }
    } catch {
      // Told below; a closed desk is no fault of the page.
    }
    onLost(true);
    await new Promise((next) => { setTimeout(next, 1500); });
  }
}
