/* Selvage: from the text of a stringing pattern to findings, step list, drawing, order and JSON;
 * and to the same text in the one layout.
 *
 * The library prints nothing, opens no files, ends no process, sets no locale and keeps nothing
 * between calls. One compilation may be used by one thread at a time; any number may run at once,
 * except that selvage_emit of SELVAGE_ORDER uses libcgraph, which serves one thread at a time. */
#ifndef SELVAGE_H
#define SELVAGE_H

#include <stdbool.h>
#include <stddef.h>

/* The most one text may hold: a reader need not read further, one byte more is enough to be told.
 */
enum { SELVAGE_MOST_BYTES = 28 * 1024 * 1024 };

/* Bytes with a length; those the library gives are closed by a NUL that `length` does not count. */
struct selvage_text {
    const char *bytes;
    size_t length;
};

/* Reads the file a `use` line names; `path` is relative to what `name` of the request is relative
 * to. False where it cannot be read. The bytes stay the caller's and must live until
 * selvage_compile returns. */
typedef bool selvage_reader(void *context, const char *path, struct selvage_text *text);

enum selvage_severity { SELVAGE_ERROR, SELVAGE_WARNING, SELVAGE_ADVICE, SELVAGE_IGNORED };

/* A severity for some findings: `what` is a code (SV-511), a family of codes (text, holes, route,
 * weave, order, finish, limits, play), or "all". */
struct selvage_setting {
    const char *what;
    enum selvage_severity severity;
};

bool selvage_setting_known(const char *what);

/* Which sides a pattern is strung with. The frame stays as it is, so a pattern with its sides
 * exchanged comes to other holes, and is judged anew. Two pieces have no long side: to ask for one
 * is an error of theirs, unless the request says otherwise. */
enum selvage_sides {
    SELVAGE_AS_WRITTEN,
    SELVAGE_MIRRORED,        /* left for right and right for left */
    SELVAGE_LONG_SIDE_LEFT,  /* exchanged where the long side is the right one */
    SELVAGE_LONG_SIDE_RIGHT, /* exchanged where it is the left one */
};

/* What to compile. Everything but `name` and `text` may be zero. */
struct selvage_request {
    const char *name; /* of the text, for findings and for the paths of `use` lines */
    struct selvage_text text;
    selvage_reader *read;
    void *context;       /* handed to `read` */
    const char *pattern; /* compile this pattern only; NULL: every pattern of the text */
    const char *second;  /* and this one, where `pattern` is given */
    const char *string;  /* string every pattern with this string, by name */
    const char *bench;   /* plan for this bench, by name */
    enum selvage_sides sides;
    bool sides_where_any; /* two pieces, where a long side is asked for, are left as written */
    const struct selvage_setting *settings; /* the later counts; a comment in the text before all */
    size_t setting_count;
    bool findings_only; /* nothing will be emitted: patterns without findings are let go at once */
    bool layout_only;   /* for selvage_format: the text is parsed; it has no patterns then, and the
                           files it uses are not read */
    /* Where memory comes from; NULL: malloc and free. */
    void *(*get_memory)(void *memory_context, size_t size);
    void (*put_memory)(void *memory_context, void *memory);
    void *memory_context;
};

typedef struct selvage_compilation selvage_compilation;

/* Compiles; what is wrong with the text is in the findings. NULL only where there is no memory to
 * begin with. */
selvage_compilation *selvage_compile(const struct selvage_request *request);
void selvage_free(selvage_compilation *compilation);

/* Whether there was not enough memory to compile it: its findings (SV-120) say no more about the
 * text.
 */
bool selvage_lacked_memory(const selvage_compilation *compilation);

/* What of the request names nothing there is, in words: its string or its bench. NULL where all is
 * found, or the text has faults that come first. */
const char *selvage_misuse(const selvage_compilation *compilation);

size_t selvage_errors(const selvage_compilation *compilation);
size_t selvage_warnings(const selvage_compilation *compilation);

/* The number of the code that the report begins with, 301 for SV-301; 0 where nothing was found. */
int selvage_first_code(const selvage_compilation *compilation);

/* The patterns written in the text itself, in order, whether compiled or not. */
size_t selvage_patterns(const selvage_compilation *compilation);
const char *selvage_pattern_name(const selvage_compilation *compilation, size_t pattern);
/* Its title, or its name where it has none. */
const char *selvage_pattern_title(const selvage_compilation *compilation, size_t pattern);
/* Whether a pattern has come through every stage, so that it can be emitted. */
bool selvage_pattern_ready(const selvage_compilation *compilation, size_t pattern);

/* JSON: rows of a list (docs/findings.schema.json); SARIF: results of one run (OASIS SARIF 2.1.0).
 * Either has no comma before its first and after its last: findings of several compilations are
 * joined with commas, between the head and the tail. Those of TEXT and COLOUR are empty. */
enum selvage_form { SELVAGE_TEXT, SELVAGE_COLOUR, SELVAGE_JSON, SELVAGE_SARIF };
const char *selvage_report_head(enum selvage_form form, size_t part); /* from 0; NULL: no more */
const char *selvage_report_tail(enum selvage_form form);

/* The findings that are at least so severe; empty where there are none. False where memory ran out.
 * The text lives until the next call for this compilation that gives a text. */
bool selvage_report(selvage_compilation *compilation, enum selvage_form form,
                    enum selvage_severity least, struct selvage_text *text);

/* The text with every safe change made that its findings know; *changes becomes how many. False
 * where memory ran out. The text lives like that of selvage_report. */
bool selvage_mend(selvage_compilation *compilation, struct selvage_text *text, size_t *changes);

enum selvage_output {
    SELVAGE_STEPS_TEXT,
    SELVAGE_STEPS_MARKDOWN,
    SELVAGE_STEPS_CSV,
    SELVAGE_DRAWING,
    SELVAGE_ORDER,
    SELVAGE_EXPORT,
    SELVAGE_BUILT,                /* those before it are what build writes */
    SELVAGE_PAGE = SELVAGE_BUILT, /* the bench page: HTML that asks for nothing outside it */
    SELVAGE_OUTPUTS
};

enum selvage_result {
    SELVAGE_DONE,
    SELVAGE_NOT_READY, /* the pattern has errors, or was not compiled */
    SELVAGE_NO_MEMORY,
    SELVAGE_NO_LIBRARY,  /* a library that only this output needs is not installed */
    SELVAGE_OTHER_FRAME, /* the patterns are not for one frame */
    SELVAGE_UNFIT,       /* what is given cannot be worked with: the text says what */
    SELVAGE_NO_ROOM      /* a pattern does not go on this paper in type that can be read */
};

/* Writes an output of a ready pattern. The text lives until the next output of the compilation is
 * written or the compilation is freed. `previous` may be NULL, or what the file of this output held
 * before: SELVAGE_ORDER, whose library takes long to load, gives it back where it can tell that
 * nothing would change. */
enum selvage_result selvage_emit(selvage_compilation *compilation, size_t pattern,
                                 enum selvage_output output, const struct selvage_text *previous,
                                 struct selvage_text *text);

/* A catalogue: a folder of pages, HTML, that need no network, for many compilations. The page of a
 * ready pattern is NAME/index.html, beside its bench page NAME/bench.html and its other outputs,
 * NAME/NAME.SUFFIX. The index, index.html, is the head, the cards in the order of their titles, and
 * the tail. Page and card live as the outputs do */
enum selvage_result selvage_catalogue_page(selvage_compilation *compilation, size_t pattern,
                                           struct selvage_text *text);
enum selvage_result selvage_catalogue_card(selvage_compilation *compilation, size_t pattern,
                                           struct selvage_text *text);
const char *selvage_catalogue_head(enum selvage_sides sides,
                                   size_t part); /* from 0; NULL: no more */
const char *selvage_catalogue_tail(size_t part);

/* Two ready patterns for one frame side by side, of one compilation or of two. Frames of two
 * compilations are one where name and hole map are the same; where they are not, the text says why.
 * It lives as the outputs of `a` do. */
enum selvage_comparison {
    SELVAGE_COMPARE_TEXT,
    SELVAGE_COMPARE_MARKDOWN,
    SELVAGE_COMPARE_JSON /* docs/compare.schema.json */
};
enum selvage_result selvage_compare(selvage_compilation *a, size_t pattern_a,
                                    const selvage_compilation *b, size_t pattern_b,
                                    enum selvage_comparison form, struct selvage_text *text);

/* The best ways to string what a ready pattern insists on, different in kind, the best first, with
 * the figures of a comparison (JSON: docs/search.schema.json); docs/search.md says what is best;
 * one at the least, SELVAGE_MOST_WAYS at the most. Of a pattern whose legs are all written they are
 * set aside, and stand beside the ways that are found. */
enum { SELVAGE_MOST_WAYS = 5 };
enum selvage_result selvage_search(selvage_compilation *compilation, size_t pattern, int most,
                                   enum selvage_comparison form, struct selvage_text *text);

/* What the frame feels while a ready pattern is strung on it, pull by pull, and what tension is
 * left (docs/bed.md; JSON: docs/bed.schema.json; the picture is SVG); with `even` the pulls that
 * would leave mains and crosses even. UNFIT where no tension is known or the values contradict each
 * other, NO_LIBRARY where LAPACK is not installed. The text lives like that of an output. */
enum selvage_bed_form {
    SELVAGE_BED_TEXT,
    SELVAGE_BED_MARKDOWN,
    SELVAGE_BED_JSON,
    SELVAGE_BED_CSV,
    SELVAGE_BED_PICTURE
};
enum selvage_result selvage_bed(selvage_compilation *compilation, size_t pattern, bool even,
                                enum selvage_bed_form form, struct selvage_text *text);

/* Works it out for outputs of this pattern that are written from then on, until another is felt:
 * step list, page, chart and page of a catalogue show it. The text says what is amiss where it is
 * not DONE. */
enum selvage_result selvage_feel(selvage_compilation *compilation, size_t pattern,
                                 struct selvage_text *text);

/* Patterns for the wall and the bench: cards on sheets of paper, several sheets where one does not
 * hold them in type that can be read; and a sheet in tiles of a smaller paper. */
enum selvage_paper {
    SELVAGE_A2,
    SELVAGE_A3,
    SELVAGE_A4,
    SELVAGE_A5,
    SELVAGE_LETTER,
    SELVAGE_PAPERS
};

struct selvage_item {
    const selvage_compilation *compilation;
    size_t pattern;
};

struct selvage_chart {
    enum selvage_paper paper;
    bool landscape; /* else whichever way the cards are larger */
    bool bench;     /* one pattern, upright, with all that helps at the bench */
    bool tiled;
    enum selvage_paper tile;
    /* What selvage_plan_chart settles. */
    size_t pages, sheets;
    double page_width, page_height; /* mm */
    double width, height;           /* of a sheet */
    size_t columns, rows;           /* of cards */
    size_t tile_columns, tile_rows; /* of tiles; 1 and 1 where there are none */
    double scale;                   /* of the type */
};

/* Works out how ready patterns go on the paper, then page after page as SVG; memory is that of the
 * first item's compilation. NO_ROOM where one does not go on it, or the tiles are no smaller than
 * the sheet. A page lives as the outputs do. */
enum selvage_result selvage_plan_chart(selvage_compilation *first, const struct selvage_item *items,
                                       size_t count, struct selvage_chart *chart);
enum selvage_result selvage_chart_page(selvage_compilation *first, const struct selvage_item *items,
                                       size_t count, const struct selvage_chart *chart, size_t page,
                                       struct selvage_text *text);

/* Whether a pattern goes on that paper at all, alone on one of several sheets; of `chart` only what
 * is wanted is looked at. DONE or NO_ROOM. */
enum selvage_result selvage_chart_holds(selvage_compilation *first, const struct selvage_item *item,
                                        const struct selvage_chart *chart);

/* The text itself in the one layout, comments kept; of a request with `layout_only`. NOT_READY
 * where it cannot be read. It lives as long as the compilation. */
enum selvage_result selvage_format(selvage_compilation *compilation, struct selvage_text *text);

/* The same with the legs of every compiled pattern written out, each for a single end, in the order
 * in which they are done. NOT_READY where there are errors, or the request was for findings or
 * layout only. It lives as the outputs do. */
enum selvage_result selvage_expand(selvage_compilation *compilation, struct selvage_text *text);

/* What an output's file is called after the pattern's name: ".svg". */
const char *selvage_output_suffix(enum selvage_output output);

/* What a code means: its page, Markdown, with an example of the fault and one without. `code` is
 * "SV-301", "sv-301" or "301"; "3" or "route" gives the list of that family's codes, NULL all
 * lists. False where there is no such code: then `page` lists the codes of its family, or the
 * families. The text is static. */
bool selvage_explain(const char *code, struct selvage_text *page);

/* "0.1.0" */
const char *selvage_version(void);

#endif
