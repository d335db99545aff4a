/* The order graph: strands as nodes in the order they are pulled, a column for each end, starts and
 * knots among them; what waits for what. The only file that knows libcgraph. First everything is
 * put into words, then the graph is opened, written and closed: nothing is asked of the arena
 * between. */
#include "emit/sheet.h"

#include <dlfcn.h>
#include <graphviz/cgraph.h>
#include <stdio.h>
#include <string.h>

/* ---- the graph in words ---- */

/* libcgraph takes plain char pointers, and copies what it is given. */
struct graph_node {
    int end;
    char *id, *label, *shape, *beside;
};

struct graph_edge {
    size_t from, to;
    bool jump;   /* from one end to the other */
    char *label; /* of a jump */
};

enum { NO_NODE = -1 };

struct graph {
    const struct pattern *pattern;
    struct arena *arena;
    char *name, *title;
    char *columns[3], *column_labels[3];
    array_of(struct graph_node) nodes;
    array_of(struct graph_edge) edges;
    int last[3]; /* by end: its node so far, or NO_NODE */
};

/* libcgraph escapes quotes and no backslashes, and in a label a backslash has a meaning. */
static char *label_text(struct arena *arena, const char *text) {
    struct output out = output_to(arena);
    for (; *text != '\0'; text++) {
        if (*text == '\\') put_char(&out, '\\');
        put_char(&out, *text);
    }
    return arena_copy(arena, output_text(&out), out.length);
}

static int add_node(struct graph *g, int end, char *id, char *label, char *shape) {
    *array_add(g->arena, &g->nodes) =
        (struct graph_node){.end = end, .id = id, .label = label, .shape = shape};
    return (int)g->nodes.count - 1;
}

static void add_edge(struct graph *g, int from, int to, bool jump, char *label) {
    *array_add(g->arena, &g->edges) = (struct graph_edge){(size_t)from, (size_t)to, jump, label};
}

static const char *word_of(const struct graph *g, int end) {
    return end_word(g->pattern->ends[end].name);
}

/* What holds an end after its last pull before a move: the clamp that was put on, or its knot. */
static const char *holding(const struct graph *g, int end, size_t move) {
    for (size_t i = move; i-- > 0;) {
        const struct move *at = &g->pattern->moves.at[i];
        if (at->end != end || at->at_start) continue;
        if (at->kind == MOVE_TIE) return format(g->arena, "%s is tied off", word_of(g, end));
        if (at->kind == MOVE_CLAMP)
            return format(g->arena, "%s waits on a %s clamp", word_of(g, end),
                          clamp_word(at->clamp));
    }
    return "";
}

static bool pulled_again(const struct graph *g, int end, size_t from, size_t to) {
    for (size_t i = from; i < to; i++) {
        const struct move *move = &g->pattern->moves.at[i];
        if (move->kind == MOVE_REPULL && move->end == end && !move->at_start) return true;
    }
    return false;
}

/* How many strands of other ends are pulled between a strand's threading and its pull. */
static int pulls_between(const struct graph *g, const struct move *pull, size_t now) {
    int others = 0;
    for (size_t i = now; i-- > 0;) {
        const struct move *move = &g->pattern->moves.at[i];
        bool threads = move->kind == MOVE_THREAD || move->kind == MOVE_WEAVE;
        if (threads && move->strand == pull->strand) return others;
        others += move->kind == MOVE_PULL && move->end != pull->end;
    }
    return others;
}

static void add_knot(struct graph *g, const struct move *move) {
    const struct frame *frame = g->pattern->frame;
    const char *what = move->at_start ? "start" : "tie";
    char *label = format(g->arena, "%s %s\\nround %s", what, frame->holes[move->hole].name,
                         frame->strands[move->around].name);
    int node = add_node(g, move->end, format(g->arena, "%s-%s", what, word_of(g, move->end)), label,
                        "hexagon");
    int *last = &g->last[move->end];
    if (*last != NO_NODE) add_edge(g, *last, node, false, NULL);
    *last = node;
}

static void lay_out(struct graph *g) {
    const struct pattern *pattern = g->pattern;
    int pulled = 0, before_node = NO_NODE, before_end = NO_END;
    size_t before = 0;
    for (size_t i = 0; i < pattern->moves.count; i++) {
        const struct move *move = &pattern->moves.at[i];
        if (move->kind == MOVE_TIE) add_knot(g, move);
        if (move->kind != MOVE_PULL) continue;
        const struct strand *strand = &pattern->frame->strands[move->strand];
        char *label =
            format(g->arena, "%d. %s", ++pulled, strand_for_end(pattern, move->end, move->strand));
        char *id = format(g->arena, "%s", strand->id);
        int node = add_node(g, move->end, id, label, strand->kind == MAIN ? "box" : "ellipse");
        int between = pulls_between(g, move, i);
        if (between > 0 && g->last[move->end] != NO_NODE)
            g->nodes.at[node].beside =
                format(g->arena, "threaded %d pulls of the\\nother end before", between);
        if (g->last[move->end] != NO_NODE) add_edge(g, g->last[move->end], node, false, NULL);
        if (before_end != NO_END && before_end != move->end) {
            const char *held = holding(g, before_end, i);
            bool again = pulled_again(g, move->end, before, i);
            add_edge(g, before_node, node, true,
                     again ? format(g->arena, "%s\\n%s is pulled again first", held,
                                    word_of(g, move->end))
                           : format(g->arena, "%s", held));
        }
        g->last[move->end] = before_node = node;
        before_end = move->end;
        before = i;
    }
}

static struct graph graph_of(const struct pattern *pattern, struct arena *arena) {
    struct graph g = {.pattern = pattern, .arena = arena};
    g.name = format(arena, "%s", pattern->name);
    g.title = label_text(
        arena, format(arena, "%s: %s", frame_title(pattern->frame), pattern_title(pattern)));
    for (int e = 0; e < pattern->end_count; e++) {
        g.last[e] = NO_NODE;
        g.columns[e] = format(arena, "cluster_%s", word_of(&g, e));
        g.column_labels[e] = format(arena, "%s end", word_of(&g, e));
    }
    lay_out(&g);
    return g;
}

/* ---- the library ---- */

struct cgraph {
    __typeof__(agopen) *open;
    __typeof__(agclose) *close;
    __typeof__(agattr) *attribute;
    __typeof__(agxset) *set;
    __typeof__(agsubg) *subgraph;
    __typeof__(agnode) *node;
    __typeof__(agedge) *edge;
    __typeof__(agwrite) *write;
    __typeof__(agstrdup) *keep;
};

static bool find_function(void *library, const char *name, void *function) {
    void *found = dlsym(library, name);
    memcpy(function, &found, sizeof found);
    return found != NULL;
}

/* The library stays loaded once it is (RTLD_NODELETE), so that asking again costs nothing. */
static bool load_cgraph(struct cgraph *cgraph) {
    void *library = dlopen(CGRAPH_LIBRARY, RTLD_LAZY | RTLD_LOCAL | RTLD_NODELETE);
    if (library == NULL) return false;
    bool found = find_function(library, "agopen", &cgraph->open) &&
                 find_function(library, "agclose", &cgraph->close) &&
                 find_function(library, "agattr", &cgraph->attribute) &&
                 find_function(library, "agxset", &cgraph->set) &&
                 find_function(library, "agsubg", &cgraph->subgraph) &&
                 find_function(library, "agnode", &cgraph->node) &&
                 find_function(library, "agedge", &cgraph->edge) &&
                 find_function(library, "agwrite", &cgraph->write) &&
                 find_function(library, "agstrdup", &cgraph->keep);
    dlclose(library);
    return found;
}

/* ---- writing it ---- */

struct style {
    char *colour, *line;
};

static struct style style_of(enum end_name end) {
    switch (end) {
    case END_LONG:
    case END_LEFT: return (struct style){"#0072B2", "solid"};
    case END_SHORT:
    case END_RIGHT: return (struct style){"#D55E00", "dashed"};
    default: return (struct style){"#000000", "dotted"};
    }
}

/* What varies from object to object, by the library's own handle. */
struct attributes {
    Agsym_t *graph_label, *graph_size, *graph_colour;
    Agsym_t *node_label, *node_shape, *node_colour, *node_style, *node_beside;
    Agsym_t *edge_label, *edge_colour, *edge_style, *edge_weight;
};

static struct attributes declare(const struct cgraph *ag, Agraph_t *graph) {
    static const struct {
        int kind;
        char *name, *value;
    } fixed[] = {
        {AGRAPH, "fontname", "sans-serif"}, {AGRAPH, "labelloc", "t"},
        {AGRAPH, "ranksep", "0.22"},        {AGRAPH, "nodesep", "0.3"},
        {AGRAPH, "newrank", "true"},        {AGNODE, "fontname", "sans-serif"},
        {AGNODE, "fontsize", "11"},         {AGNODE, "height", "0.3"},
        {AGNODE, "margin", "0.08,0.03"},    {AGNODE, "penwidth", "1.5"},
        {AGEDGE, "fontname", "sans-serif"}, {AGEDGE, "fontsize", "9"},
        {AGEDGE, "arrowsize", "0.7"},
    };
    for (size_t i = 0; i < sizeof fixed / sizeof *fixed; i++)
        ag->attribute(graph, fixed[i].kind, fixed[i].name, fixed[i].value);
    return (struct attributes){
        .graph_label = ag->attribute(graph, AGRAPH, "label", ""),
        .graph_size = ag->attribute(graph, AGRAPH, "fontsize", "16"),
        .graph_colour = ag->attribute(graph, AGRAPH, "color", "#999999"),
        .node_label = ag->attribute(graph, AGNODE, "label", ""),
        .node_shape = ag->attribute(graph, AGNODE, "shape", "box"),
        .node_colour = ag->attribute(graph, AGNODE, "color", "#000000"),
        .node_style = ag->attribute(graph, AGNODE, "style", "solid"),
        .node_beside = ag->attribute(graph, AGNODE, "xlabel", ""),
        .edge_label = ag->attribute(graph, AGEDGE, "label", ""),
        .edge_colour = ag->attribute(graph, AGEDGE, "color", "#666666"),
        .edge_style = ag->attribute(graph, AGEDGE, "style", "bold"),
        .edge_weight = ag->attribute(graph, AGEDGE, "weight", "10"),
    };
}

/* Names to numbers, in the order they are first used. The library's own way numbers a name by its
 * address, and writes subgraphs in that order: another one at every run. */
struct names {
    Agdisc_t discipline; /* first: the library hands this back to names_open */
    char **at;           /* with room for every object of the graph; NULL for one without a name */
    IDTYPE count;
    Agraph_t *graph;
    __typeof__(agstrdup)
        *keep; /* into the library's own strings: it looks before their first byte */
};

static void *names_open(Agraph_t *graph, Agdisc_t *discipline) {
    ((struct names *)discipline)->graph = graph;
    return discipline;
}

static long names_map(void *state, int kind, char *name, IDTYPE *id, int create) {
    struct names *names = state;
    (void)kind;
    for (IDTYPE i = 0; name != NULL && i < names->count; i++)
        if (names->at[i] != NULL && strcmp(names->at[i], name) == 0) {
            *id = i + 1;
            return 1;
        }
    if (!create) return 0;
    names->at[names->count] = name != NULL ? names->keep(names->graph, name) : NULL;
    *id = ++names->count;
    return 1;
}

static long names_allow(void *state, int kind, IDTYPE id) {
    (void)state;
    (void)kind;
    return id != 0;
}

static void names_free(void *state, int kind, IDTYPE id) {
    (void)state;
    (void)kind;
    (void)id;
}

static char *names_print(void *state, int kind, IDTYPE id) {
    struct names *names = state;
    (void)kind;
    return names->at[id - 1];
}

static void names_close(void *state) { (void)state; }

static void names_register(void *state, int kind, void *object) {
    (void)state;
    (void)kind;
    (void)object;
}

static int write_part(void *channel, const char *text) {
    put(channel, text);
    return output_failed(channel) ? -1 : 0;
}

static int flush_nothing(void *channel) {
    (void)channel;
    return 0;
}

static void write_graph(const struct cgraph *ag, const struct graph *g, Agraph_t *graph,
                        Agnode_t **nodes) {
    struct attributes is = declare(ag, graph);
    ag->set(graph, is.graph_label, g->title);
    Agraph_t *columns[3];
    for (int e = 0; e < g->pattern->end_count; e++) {
        columns[e] = ag->subgraph(graph, g->columns[e], 1);
        ag->set(columns[e], is.graph_label, g->column_labels[e]);
        ag->set(columns[e], is.graph_size, "12");
    }
    for (size_t i = 0; i < g->nodes.count; i++) {
        const struct graph_node *node = &g->nodes.at[i];
        struct style style = style_of(g->pattern->ends[node->end].name);
        nodes[i] = ag->node(columns[node->end], node->id, 1);
        ag->set(nodes[i], is.node_label, node->label);
        ag->set(nodes[i], is.node_shape, node->shape);
        ag->set(nodes[i], is.node_colour, style.colour);
        ag->set(nodes[i], is.node_style, style.line);
        if (node->beside != NULL) ag->set(nodes[i], is.node_beside, node->beside);
    }
    for (size_t i = 0; i < g->edges.count; i++) {
        const struct graph_edge *edge = &g->edges.at[i];
        struct style style = style_of(g->pattern->ends[g->nodes.at[edge->from].end].name);
        Agedge_t *at = ag->edge(graph, nodes[edge->from], nodes[edge->to], NULL, 1);
        if (edge->jump) {
            ag->set(at, is.edge_label, edge->label);
            ag->set(at, is.edge_weight, "1");
        } else {
            ag->set(at, is.edge_colour, style.colour);
            ag->set(at, is.edge_style, style.line);
        }
    }
}

/* ---- telling that nothing would change ---- */

/* FNV-1a, 64 bits. */
static uint64_t add_to_digest(uint64_t digest, const char *bytes, size_t length) {
    for (size_t i = 0; i < length; i++)
        digest = (digest ^ (unsigned char)bytes[i]) * UINT64_C(0x100000001B3);
    return digest;
}

static const uint64_t EMPTY_DIGEST = UINT64_C(0xCBF29CE484222325);

static uint64_t add_words(uint64_t digest, const char *words) {
    if (words == NULL) words = "";
    return add_to_digest(digest, words, strlen(words) + 1);
}

/* The graph in words and the library that would write it. */
static uint64_t digest_of(const struct graph *g) {
    uint64_t digest = add_words(add_words(EMPTY_DIGEST, CGRAPH_LIBRARY), g->name);
    digest = add_words(digest, g->title);
    for (int e = 0; e < g->pattern->end_count; e++)
        digest = add_words(digest, g->columns[e]);
    for (size_t i = 0; i < g->nodes.count; i++) {
        const struct graph_node *node = &g->nodes.at[i];
        digest = add_words(add_words(digest, node->id), node->label);
        digest = add_words(add_words(digest, node->shape), node->beside);
        digest = add_to_digest(digest, (const char *)&node->end, sizeof node->end);
    }
    for (size_t i = 0; i < g->edges.count; i++) {
        const struct graph_edge *edge = &g->edges.at[i];
        uint32_t ends[] = {(uint32_t)edge->from, (uint32_t)edge->to, edge->jump};
        digest = add_to_digest(digest, (const char *)ends, sizeof ends);
        digest = add_words(digest, edge->label);
    }
    return digest;
}

static void put_hex(struct output *out, uint64_t value) {
    put_format(out, "%08X%08X", (unsigned)(value >> 32), (unsigned)value);
}

/* The last line of the file: the digest of what it was made from, and of what it says above. */
static const char *seal(struct arena *arena, uint64_t words, const char *bytes, size_t length) {
    struct output out = output_to(arena);
    put(&out, "// made from ");
    put_hex(&out, words);
    put(&out, ", reads ");
    put_hex(&out, add_to_digest(EMPTY_DIGEST, bytes, length));
    put_char(&out, '\n');
    return output_text(&out);
}

enum { SEAL_LENGTH = 13 + 16 + 8 + 16 + 1 };

/* Whether a file made from the same words still says what was written then. */
static bool still_right(struct arena *arena, struct selvage_text previous, uint64_t words) {
    if (previous.length <= SEAL_LENGTH) return false;
    size_t above = previous.length - SEAL_LENGTH;
    return memcmp(previous.bytes + above, seal(arena, words, previous.bytes, above), SEAL_LENGTH) ==
           0;
}

static bool draw_graph(const struct graph *g, struct output *out) {
    Agnode_t **nodes = arena_many(out->arena, Agnode_t *, g->nodes.count + 1);
    struct cgraph ag;
    if (!load_cgraph(&ag)) return false;
    Agiodisc_t io = {NULL, write_part, flush_nothing};
    Agdesc_t directed = {.directed = 1, .maingraph = 1};
    Agiddisc_t numbering = {names_open,  names_map,   names_allow,   names_free,
                            names_print, names_close, names_register};
    struct names names = {.discipline = {NULL, &numbering, &io}, .keep = ag.keep};
    names.at = arena_many(out->arena, char *, g->nodes.count + g->edges.count + 8);
    Agraph_t *graph = ag.open(g->name, directed, &names.discipline);
    if (graph == NULL) {
        out->failed = true;
        return true;
    }
    write_graph(&ag, g, graph, nodes);
    out->foreign = true;
    ag.write(graph, out);
    ag.close(graph);
    out->foreign = false;
    return true;
}

bool emit_order(struct emission *emission) {
    struct output *out = &emission->out;
    struct graph g = graph_of(emission->pattern, out->arena);
    uint64_t words = digest_of(&g);
    if (still_right(out->arena, emission->previous, words)) {
        put_bytes(out, emission->previous.bytes, emission->previous.length);
        return true;
    }
    if (!draw_graph(&g, out)) return false;
    const char *text = output_text(out);
    put(out, seal(out->arena, words, text, out->length));
    return true;
}
