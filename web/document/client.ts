// A client with the types that openapi-typescript makes of the API's document. It does what another program would: an
// address and a key are given, and whatever is answered otherwise than it should ends it with an error.
import createClient from "openapi-fetch";
import type { components, paths } from "./schema";

const [, , baseUrl, key, job, room] = process.argv;
const api = createClient<paths>({ baseUrl, headers: { Authorization: `Bearer ${key}` } });

// got returns an answer, and throws the problem that came in its place.
function got<T>(answer: { data?: T; error?: components["schemas"]["Problem"] }): T {
  if (answer.data === undefined) throw new Error(JSON.stringify(answer.error));
  return answer.data;
}

const me = got(await api.GET("/api/v1/me"));
const draft: components["schemas"]["JobDraft"] = { id: job, name: "3 Quarry Bank" };
const made = await api.POST("/api/v1/jobs", { body: draft });
got(made);

const wall = (length: number) => ({ length, turn: 90 });
const record = got(await api.POST("/api/v1/jobs/{job}/rooms", {
  params: { path: { job } },
  body: { id: room, name: "Bathroom", height: 2400, walls: [wall(2000), wall(1700), wall(2000), wall(1700)] },
}));

const seen = await api.GET("/api/v1/rooms/{room}", { params: { path: { room } } });
const tag = seen.response.headers.get("ETag") ?? "";
const change = { params: { path: { room }, header: { "If-Match": tag } }, body: { height: 2380 } };
const changed = got(await api.PUT("/api/v1/rooms/{room}", change));
const late = await api.PUT("/api/v1/rooms/{room}", change);

const nameless = await api.POST("/api/v1/jobs", { body: { id: job, name: "" } });

// @ts-expect-error: what the document does not have does not compile
await api.GET("/api/v1/none");

console.log(JSON.stringify({
  name: me.name,
  stages: record.stages.map((s) => s.stage),
  height: changed.height,
  late: late.error?.status,
  field: nameless.error?.errors?.[0]?.path,
}));
