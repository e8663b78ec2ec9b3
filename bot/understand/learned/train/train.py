"""Trains the learned reader. Needs PyTorch (Debian: python3-torch) and what `go run ./bot/understand/learned/train` wrote.

    python3 train.py DIR --judge written_es,talks_es [--hidden 256] [--epochs 60] [--out weights.bin]

DIR holds examples.jsonl and lexicon.json. Sets named by --judge are never learned from; a report on them is printed.
With --teachers N, N nets are trained first and the one that is kept learns from what they say as well as from the labels.
--start FILE begins with the weights of an earlier training instead of with chance: further texts are learned in half the time.
--mean A,B writes the mean of the weights of files from one start instead of training.
--seconds sets a time instead of a number of epochs (a machine by the hour); then runs are not the same to the last digit.
The same seed on the same machine gives the same weights; two cores take hours at full size, a GPU minutes."""
import argparse, json, multiprocessing, os, random, struct, time
import numpy as np, torch, torch.nn as nn, torch.nn.functional as F

P = argparse.ArgumentParser()
P.add_argument("dir"); P.add_argument("--judge", default=""); P.add_argument("--hidden", type=int, default=256); P.add_argument("--epochs", type=int, default=60)
P.add_argument("--seed", type=int, default=1); P.add_argument("--variants", type=int, default=16); P.add_argument("--exchange", type=float, default=.3); P.add_argument("--aside", type=float, default=.06)
P.add_argument("--share", type=float, default=1.0); P.add_argument("--out", default=""); P.add_argument("--no-hints", action="store_true"); P.add_argument("--batch", type=int, default=64)
P.add_argument("--teachers", type=int, default=0); P.add_argument("--teacher-hidden", type=int, default=384); P.add_argument("--sets", action="store_true"); P.add_argument("--seconds", type=float, default=0); P.add_argument("--teacher-seconds", type=float, default=0); P.add_argument("--lr", type=float, default=4e-3); P.add_argument("--start", default=""); P.add_argument("--mean", default=""); P.add_argument("-v", action="store_true")
A = P.parse_args()
if A.mean: # of weights that were trained from the same start on the same texts: their headers are the same
    files = [open(f, "rb").read() for f in A.mean.split(",")]; n = 12 + struct.unpack("<I", files[0][8:12])[0]
    assert all(f[:n] == files[0][:n] for f in files), "the headers differ"
    m = sum(np.frombuffer(f[n:], np.float16).astype(np.float64) for f in files) / len(files)
    open(A.out, "wb").write(files[0][:n] + m.astype(np.float16).tobytes()); raise SystemExit
dev = "cuda" if torch.cuda.is_available() else "cpu"
if dev == "cpu": torch.set_num_threads(2)
LAYERS, BIO = 5, 4          # figures, states, deeds, ends in B-I-O; whose, a plain class
CHARS = "abcdefghijklmnopqrstuvwxyz0123456789'\"#.,/-+?!&:;()=~@%$^<>*"
CH = {c: i + 2 for i, c in enumerate(CHARS)}   # 0 is nothing, 1 any other
VAR = A.variants                               # shaken variants of each text
K = 16                                         # letters of a word that are looked at

lex = json.load(open(os.path.join(A.dir, "lexicon.json"), encoding="utf-8"))
def hints(w):
    n = len(w); g = [0] * n; L = [[] for _ in range(n)]
    for i in range(n):
        for k in range(min(5, n - i), 0, -1):
            v = lex["names"].get(" ".join(w[i:i + k]))
            if v:
                for j in range(i, i + k):
                    if g[j] == 0: g[j] = (v - 1) * 4 + (1 if j == i else 2) + (2 if k > 1 else 0)
                break
        for k in range(min(5, n - i), 0, -1):
            v = lex["phrases"].get(" ".join(w[i:i + k]))
            if v is not None:
                for j in range(i, i + k): L[j] = L[j] + [x for x in v if x not in L[j]]
                break
    return g, L
def shape(w): return "0" * min(len(w), 4) if w[0].isdigit() else w
rnd = random.Random(A.seed)
def noise(w):
    if len(w) < 4 or not w.isalpha(): return w
    i = rnd.randrange(len(w) - 1); c = rnd.random()
    if c < .3: return w[:i] + w[i + 1:]
    if c < .6: return w[:i] + w[i + 1] + w[i] + w[i + 2:]
    if c < .8: return w[:i] + w[i] + w[i:]
    return w[:i] + rnd.choice("abcdefghijklmnopqrstuvwxyz") + w[i + 1:]
UNITS = [["m", "meters", "metres", "mts", "mt", "metros", "metre", "mtr"], ["ft", "feet", "foot", "pies", "pes", "pieds"], ["kg", "kilos", "kilo", "k", "kgs", "quilos"], ["lb", "lbs", "pound", "pounds", "libras", "livres"], ["oz", "ounce", "ounces", "onzas", "oncas", "onces"], ["cm", "cms", "centimetros", "centimetres"], ["fathoms", "fathom", "fm", "brazas", "bracas", "brasses"]]
UNITOF = {u: g for g in UNITS for u in g}
def exchanged(e, i):
    """Where a piece that says one thing begins at word i: its end, the layer, and the words in which another text of the language says the same."""
    for k in range(BIO):
        t = e["t"][k][i]
        if t[0] != "B" or t == "B-name": continue
        j = i + 1
        while j < len(e["w"]) and e["t"][k][j] == "I" + t[1:]: j += 1
        if all(e["t"][q][x] == "O" for q in range(BIO) if q != k for x in range(i, j)): return j, k, rnd.choice(SAYINGS[k, e["lang"], t[2:]])
    return None
def augment(e):
    w, T, i = e["w"], e["t"], 0; W, R = [], [[] for _ in range(LAYERS)]
    swap, unit, share = rnd.random() < .5, rnd.random() < .3, A.exchange * 2 * (rnd.random() < .5)
    if not any(e["c"]) and CONTEXTS.get(e["act"]) and rnd.random() < (.6 if e["follow"] else .3): e = dict(e, c=rnd.choice(CONTEXTS[e["act"]])) # single messages are heard in talks too
    def put(x, tags):
        W.append(x)
        for k in range(LAYERS): R[k].append(tags[k])
    while i < len(w):
        if T[0][i] == "B-name" and swap:
            j = i + 1
            while j < len(w) and T[0][j] == "I-name": j += 1
            p = rnd.choice(lex["swap"].get(e["lang"]) or lex["swap"]["en"]).split()
            if p and all(T[k][q] == "O" for k in range(1, BIO) for q in range(i, j)):
                for q, x in enumerate(p): put(x, ["B-name" if q == 0 else "I-name", "O", "O", "O", T[4][i]])
                i = j; continue
        other = exchanged(e, i) if e["tagged"] and rnd.random() < share else None
        if other:
            j, k, said = other
            for q, x in enumerate(said): put(x, [(("B" if q == 0 else "I") + T[k][i][1:]) if z == k else T[4][i] if z == 4 else "O" for z in range(LAYERS)])
            i = j; continue
        x = w[i]
        if x[0].isdigit() and rnd.random() < .5: x = "".join(rnd.choice("123456789") if c.isdigit() else c for c in x)
        elif unit and x in UNITOF and i and w[i - 1][0].isdigit(): x = rnd.choice(UNITOF[x])
        elif rnd.random() < .04: x = noise(x) or x
        put(x, [T[k][i] for k in range(LAYERS)]); i += 1
    if e["tagged"] and e["act"] != "other" and len(W) < 30 and rnd.random() < A.aside and IDLE.get(e["lang"]): # talk beside the point, before or after
        idle = rnd.choice(IDLE[e["lang"]])
        if len(idle) < 25:
            blank = ["O"] * (len(idle) + 1); first = rnd.random() < .5
            W = idle + ["."] + W if first else W + ["."] + idle
            R = [blank + r if first else r + blank for r in R]
    return dict(e, w=W, t=R)

class Net(nn.Module):
    def __init__(s, V, C, T, nact, nwant, ctx, h, we=64, ce=24, cf=32, drop=.4):
        super().__init__()
        s.word = nn.Embedding(V, we, padding_idx=0); s.char = nn.Embedding(len(CHARS) + 2, ce, padding_idx=0)
        s.conv = nn.ModuleList([nn.Conv1d(ce, cf, k, padding=k - 1) for k in (2, 3, 4)])
        s.mark = nn.Embedding(16, 8); s.hint = nn.Linear(C, 32); s.ctx = nn.Linear(ctx, 16)
        s.inp = nn.Linear(we + 3 * cf + 8 + 32 + 16, h); s.rnn = nn.LSTM(h, h // 2, 2, bidirectional=True, batch_first=True, dropout=drop); s.drop = nn.Dropout(drop)
        s.tag = nn.ModuleList([nn.Linear(h, t) for t in T])
        s.att = nn.Linear(h, 1); s.act = nn.Linear(2 * h + 16, nact); s.want = nn.Linear(2 * h + 16, nwant); s.follow = nn.Linear(2 * h + 16, 2); s.further = nn.Linear(2 * h + 16, 2)
    def forward(s, w, c, g, H, ctx, mask, n):
        B, N, K = c.shape
        x = s.char(c.view(B * N, K)).transpose(1, 2)
        x = torch.cat([F.relu(f(x)).max(2).values for f in s.conv], 1).view(B, N, -1)
        q = F.relu(s.ctx(ctx))
        x = torch.cat([s.word(w), x, s.mark(g), F.relu(F.embedding(H, F.pad(s.hint.weight.t(), (0, 0, 1, 0))).sum(2) + s.hint.bias), q.unsqueeze(1).expand(B, N, 16)], 2)
        x = s.drop(F.relu(s.inp(s.drop(x))))
        o, _ = s.rnn(nn.utils.rnn.pack_padded_sequence(x, n, batch_first=True, enforce_sorted=False)); o, _ = nn.utils.rnn.pad_packed_sequence(o, batch_first=True, total_length=N)
        o = s.drop(o)
        a = s.att(o).squeeze(2).masked_fill(~mask, -1e9).softmax(1).unsqueeze(2)
        p = torch.cat([(o * a).sum(1), o.masked_fill(~mask.unsqueeze(2), -1e9).max(1).values, q], 1)
        return [t(o) for t in s.tag], s.act(s.drop(p)), s.want(s.drop(p)), s.follow(s.drop(p)), s.further(s.drop(p))

everything = [json.loads(l) for l in open(os.path.join(A.dir, "examples.jsonl"), encoding="utf-8")]
everything = [e for e in everything if e["w"]]
judge = set(A.judge.split(",")) - {""}
train = [e for e in everything if e["set"] not in judge]; test = [e for e in everything if e["set"] in judge]
random.Random(5).shuffle(train); train = train[:int(len(train) * A.share)]
CONTEXTS = {}
for e in train:
    if any(e["c"]): CONTEXTS.setdefault(e["act"], []).append(e["c"])
SAYINGS, IDLE = {}, {}
for e in train:
    if e["act"] == "other" and not any(t != "O" for k in range(BIO) for t in e["t"][k]): IDLE.setdefault(e["lang"], []).append(e["w"])
    if not e["tagged"]: continue
    for k in range(BIO):
        i = 0
        while i < len(e["w"]):
            j = i + 1
            if e["t"][k][i][0] == "B":
                while j < len(e["w"]) and e["t"][k][j] == "I" + e["t"][k][i][1:]: j += 1
                SAYINGS.setdefault((k, e["lang"], e["t"][k][i][2:]), []).append(e["w"][i:j])
            i = j
voc = {}
for e in train:
    for x in e["w"]: voc[shape(x)] = voc.get(shape(x), 0) + 1
words = [x for x, n in sorted(voc.items()) if n > 2]; VID = {x: i + 2 for i, x in enumerate(words)}
tagsets = []
for k in range(LAYERS):
    seen = {t for e in train for t in e["t"][k]} | {"I" + t[1:] for e in train for t in e["t"][k] if t.startswith("B-")} - {"O"}
    tagsets.append(["O"] + sorted(seen - {"O"}))
TID = [{t: i for i, t in enumerate(s)} for s in tagsets]
acts = ["question", "report", "correction", "command", "other"]; wants = ["-"] + sorted({e["want"] for e in train} - {"-"})
AID = {a: i for i, a in enumerate(acts)}; WID = {a: i for i, a in enumerate(wants)}
C = len(lex["concepts"]); CTX = len(train[0]["c"])

HINTS, LONGEST = 8, 96      # hints of a word, words of a text that are learned from
def arrays(es):
    """Texts as arrays, LONGEST words wide."""
    M, N = len(es), LONGEST
    w = np.zeros((M, N), np.int32); c = np.zeros((M, N, K), np.uint8); g = np.zeros((M, N), np.uint8); H = np.zeros((M, N, HINTS), np.int16)
    x = np.zeros((M, CTX), np.float32); y = np.zeros((M, LAYERS, N), np.uint8); m = np.zeros((M, 5), np.int64); n = np.zeros(M, np.int64)
    for r, e in enumerate(es):
        ws = e["w"][:N]; n[r] = len(ws); gg, LL = hints(e["w"])
        for i, word in enumerate(ws):
            w[r, i] = VID.get(shape(word), 1); g[r, i] = gg[i]
            for k, q in enumerate(word[:K]): c[r, i, k] = CH.get(q, 1)
            if not A.no_hints:
                for k, q in enumerate(LL[i][:HINTS]): H[r, i, k] = q + 1
            for k in range(LAYERS): y[r, k, i] = TID[k].get(e["t"][k][i], 0)
        x[r] = e["c"]; m[r] = AID[e["act"]], WID.get(e["want"], 0), int(e["follow"]), int(e["tagged"]), e["further"]
    return w, c, g, H, x, y, m, n
def shaken(at):
    """The arrays of some texts to learn from, each followed by its variants. A text is shaken the same whoever does it."""
    es = []
    for j in range(at, min(at + 200, len(train))):
        rnd.seed(A.seed * 1000003 + j); es += [train[j]] + [augment(train[j]) for _ in range(VAR)]
    return arrays(es)
def tensors(parts):
    """On the device whole: nothing is made anew for a batch."""
    z = [np.concatenate(q) for q in zip(*parts)]
    return [torch.from_numpy(q).to(dev) for q in z[:-1]] + [z[-1]]
def batch(D, rows, training=False):
    w, c, g, H, x, y, m, n = D; r = torch.as_tensor(rows, device=dev); lens = n[rows]; N = int(lens.max())
    w, c, g, H, x, y, m = w[r, :N].long(), c[r, :N].long(), g[r, :N].long(), H[r, :N].long(), x[r], y[r, :, :N].long(), m[r]
    mask = torch.arange(N, device=dev)[None] < torch.as_tensor(lens, device=dev)[:, None]
    clean = [w, c, g, H, x, mask, torch.from_numpy(lens)]
    if training:
        u = lambda *s: torch.rand(*s, device=dev)
        w = torch.where((u(*w.shape) < .15) & (w > 0), 1, w); g = torch.where(u(*g.shape) < .1, 0, g); H = torch.where(u(*H.shape[:2], 1) < .15, 0, H); x = x * (u(len(x), 1) > .1)
    return [w, c, g, H, x, mask, torch.from_numpy(lens)], y.transpose(0, 1), mask & (m[:, 3:4] > 0), m, clean

def ok_table(names):
    T = len(names); ok = np.zeros((T + 1, T), np.float32)
    for b, tb in enumerate(names):
        if tb[0] == "I":
            for a, ta in enumerate(names):
                if ta == "O" or ta[1:] != tb[1:]: ok[a, b] = -1e9
            ok[T, b] = -1e9
    return ok
OK = [ok_table(s) for s in tagsets[:BIO]]
def viterbi(e, ok):
    a = e[0] + ok[-1]; bp = []
    for i in range(1, len(e)):
        v = a[:, None] + ok[:-1]; b = v.argmax(0); a = v[b, np.arange(v.shape[1])] + e[i]; bp.append(b)
    y = [int(a.argmax())]
    for b in reversed(bp): y.append(int(b[y[-1]]))
    return y[::-1]
def spans(tags): # what is said, with the fish it is said of left out
    out, i = [], 0
    while i < len(tags):
        if tags[i][0] == "B":
            j = i + 1
            while j < len(tags) and tags[j] == "I" + tags[i][1:]: j += 1
            out.append((tags[i][2:], i, j)); i = j
        else: i += 1
    return out

def scores(net, D):
    out = []; net.eval()
    with torch.no_grad():
        for i in range(0, len(D[-1]), 256):
            rows = np.arange(i, min(i + 256, len(D[-1]))); X, _, _, _, _ = batch(D, rows); T, *S = net(*X)
            T = [t.log_softmax(2).cpu().numpy() for t in T]; S = [z.log_softmax(1).cpu().numpy() for z in S]
            for b, r in enumerate(rows): out.append(([t[b, :D[-1][r]] for t in T], *(z[b] for z in S)))
    return out
def mean(lists): return [([sum(q) / len(lists) for q in zip(*[s[0] for s in z])], *(sum(q) / len(lists) for q in list(zip(*z))[1:])) for z in zip(*lists)]
def report(tag, sc, es):
    n = tagged = act = want = fol = fig = st = de = en = who = all_ = more = reports = 0; bins = [[0, 0, 0.] for _ in range(10)]
    for (T, a, w, f, g), e in zip(sc, es):
        n += 1; oa = acts[int(a.argmax())] == e["act"]; act += oa; want += wants[int(w.argmax())] == e["want"]; fol += int(f.argmax()) == int(e["follow"])
        if e["further"] >= 0: reports += 1; more += int(g.argmax()) == e["further"]
        p = float(np.exp(a.max())); q = bins[min(9, int(p * 10))]; q[0] += 1; q[1] += oa; q[2] += p
        if not e["tagged"]: continue
        tagged += 1; ok = []
        for k in range(BIO):
            got = [tagsets[k][i] for i in viterbi(T[k], OK[k])]
            ok.append(e["act"] == "other" or {s[0] for s in spans(got)} == {s[0] for s in spans(e["t"][k])})
        o = e["act"] == "other" or all(tagsets[4][int(T[4][i].argmax())] == t for i, t in enumerate(e["t"][4]) if t != "O")
        fig += ok[0]; st += ok[1]; de += ok[2]; en += ok[3]; who += o; all_ += oa and all(ok) and o
    t = max(1, tagged)
    print(f"{tag}: {n} texts ({tagged} tagged): act {act/n:.1%} want {want/n:.1%} follow {fol/n:.1%} further {more}/{reports} | figures {fig/t:.1%} states {st/t:.1%} deeds {de/t:.1%} ends {en/t:.1%} whose {who/t:.1%} all {all_/t:.1%}", flush=True)
    print("   reliability of the act:", " ".join(f"{q[2]/q[0]:.2f}:{q[1]/q[0]:.2f}({q[0]})" for q in bins if q[0]), flush=True)

def fit(h, init, D, texts, seconds, teachers=(), drop=.4):
    """Learns from D, in which text j has its variants at j * (VAR + 1) and after."""
    torch.manual_seed(init); np.random.seed(init); shuffle = random.Random(init)
    net = Net(len(words) + 2, C, [len(s) for s in tagsets], len(acts), len(wants), CTX, h, drop=drop).to(dev)
    if A.start and not teachers: begin(net, A.start)
    opt = torch.optim.AdamW(net.parameters(), A.lr / 2, weight_decay=.01); steps = sum((min(A.batch * 16, texts - i) + A.batch - 1) // A.batch for i in range(0, texts, A.batch * 16))
    t0 = time.time(); step = 0
    def rate(p): # up for three tenths of the way, then down to nothing
        f = p / .3 if p < .3 else (1 + np.cos(np.pi * (p - .3) / .7)) / 2
        return A.lr * max(.04 if p < .3 else 1e-4, f)
    for ep in range(10 ** 6):
        if (time.time() - t0 >= seconds if seconds else step >= A.epochs * steps): break
        net.train(); order = [j * (VAR + 1) + shuffle.randrange(VAR + 1) for j in range(texts)]; shuffle.shuffle(order)
        lots = []                           # texts of like length together: a batch is as slow as its longest
        for i in range(0, texts, A.batch * 16):
            lot = sorted(order[i:i + A.batch * 16], key=lambda r: D[-1][r]); lots += [lot[k:k + A.batch] for k in range(0, len(lot), A.batch)]
        shuffle.shuffle(lots)
        for lot in lots:
            done = (time.time() - t0) / seconds if seconds else step / (A.epochs * steps); step += 1
            if done >= 1: break
            for q in opt.param_groups: q["lr"] = rate(done)
            rows = np.array(lot)
            X, y, tm, m, clean = batch(D, rows, True); T, a, w, f, g = net(*X)
            loss = sum(F.cross_entropy(T[k][tm], y[k][tm]) for k in range(LAYERS)) * 6 + F.cross_entropy(a, m[:, 0], label_smoothing=.05) * 2 + F.cross_entropy(w, m[:, 1], label_smoothing=.05) * 2 + F.cross_entropy(f, m[:, 2], label_smoothing=.05) * .5
            told = m[:, 4] >= 0
            if told.any(): loss = loss + F.cross_entropy(g[told], m[told, 4], label_smoothing=.05)
            if teachers:
                with torch.no_grad():
                    said = [t(*clean) for t in teachers]; soft = lambda pick: sum(pick(q).softmax(-1) for q in said) / len(said)
                for k in range(LAYERS): loss = loss - 6 * (soft(lambda q: q[0][k]) * T[k].log_softmax(2)).sum(2)[X[5]].mean()
                for z, k, c in ((a, 1, 2), (w, 2, 2), (f, 3, .5)): loss = loss - c * (soft(lambda q: q[k]) * z.log_softmax(1)).sum(1).mean()
            opt.zero_grad(set_to_none=True); loss.backward(); nn.utils.clip_grad_norm_(net.parameters(), 2); opt.step()
        if A.v: print(ep, round(float(loss.detach()), 3), int(time.time() - t0), "s", flush=True)
    print(f"hidden {h}, {sum(p.numel() for p in net.parameters())/1e6:.2f} M weights, {step} steps, {ep} times through, {int(time.time()-t0)} s", flush=True)
    return net.eval()

def begin(net, path):
    """Puts the weights of a file into a net: those of words by the words, of tags, acts, wants and hints by their names."""
    with open(path, "rb") as f:
        f.read(8); head = json.loads(f.read(struct.unpack("<I", f.read(4))[0]))
        old = {}
        for a in head["arrays"]: old[a["name"]] = torch.from_numpy(np.frombuffer(f.read(2 * int(np.prod(a["shape"]))), np.float16).astype(np.float32).reshape(a["shape"]))
    new = net.state_dict()
    def by_name(key, olds, news, off=0):
        at = {x: i + off for i, x in enumerate(olds)}
        for i, x in enumerate(news):
            if x in at: new[key][i + off] = old[key][at[x]].to(new[key])
        if off: new[key][:off] = old[key][:off].to(new[key])
    for k in old:
        if new[k].shape == old[k].shape and k not in ("word.weight", "want.weight", "want.bias", "hint.weight") and not k.startswith("tag."): new[k] = old[k].to(new[k])
    by_name("word.weight", head["words"], words, 2)
    at = {c: i for i, c in enumerate(head["concepts"])}
    for i, c in enumerate(lex["concepts"]):
        if c in at: new["hint.weight"][:, i] = old["hint.weight"][:, at[c]].to(new["hint.weight"])
    for k in range(LAYERS):
        for part in ("weight", "bias"): by_name(f"tag.{k}.{part}", head["tags"][k], tagsets[k])
    for part in ("weight", "bias"): by_name(f"want.{part}", head["wants"], wants)
    net.load_state_dict(new)

def pack(net, path):
    """Little-endian: a JSON header with the names, then each array as float16 in the order of the header."""
    arrays = [(k, v.detach().cpu().numpy().astype(np.float16)) for k, v in net.state_dict().items()]
    head = json.dumps({"words": words, "chars": CHARS, "concepts": lex["concepts"], "tags": tagsets, "acts": acts, "wants": wants, "context": CTX, "hidden": net.inp.out_features,
                       "arrays": [{"name": k, "shape": list(v.shape)} for k, v in arrays]}, ensure_ascii=False).encode()
    with open(path, "wb") as o:
        o.write(b"reader1\n"); o.write(struct.pack("<I", len(head))); o.write(head)
        for _, v in arrays: o.write(v.tobytes())
    print(path, os.path.getsize(path), "bytes", flush=True)

if __name__ == "__main__":
    print(dev, len(train), "to learn from,", len(test), "to judge by,", len(words), "words,", C, "concepts", flush=True)
    t0 = time.time(); lots = range(0, len(train), 200)
    with multiprocessing.get_context("fork").Pool() as pool: D = tensors(pool.map(shaken, lots))
    J = tensors([arrays(test)])
    print("texts cut and shaken in", int(time.time() - t0), "s", flush=True)
    def judged(name, sc):
        report(name, sc, test)
        for s in sorted(judge):
            k = [i for i, e in enumerate(test) if e["set"] == s]
            if k and A.sets: report("  " + s, [sc[i] for i in k], [test[i] for i in k])
    teachers = [fit(A.teacher_hidden, 100 + i, D, len(train), A.teacher_seconds) for i in range(A.teachers)]
    if teachers and test: judged(f"{len(teachers)} teachers", mean([scores(t, J) for t in teachers]))
    net = fit(A.hidden, A.seed, D, len(train), A.seconds, teachers)
    if test: judged("this net", scores(net, J))
    if A.out: pack(net, A.out)
