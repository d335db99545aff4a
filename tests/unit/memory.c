/* Memory that fails: every single request, and every one from some request on, for a compilation,
 * its report in every form, its mended text, every output of its patterns, other ways to string
 * them, and their legs written out. Nothing leaks, nothing crashes, and what went wrong is told.
 * The linker leads malloc and its like here, so that nothing gets memory by another way: the
 * arenas, the parser's stacks, yajl. Left out is the order graph: libcgraph does not survive memory
 * that fails, and takes it elsewhere. */
#include "unit/support.h"

#include <stdlib.h>

void *__real_malloc(size_t size);
void *__real_calloc(size_t count, size_t size);
void *__real_realloc(void *memory, size_t size);
void __real_free(void *memory);
void *__wrap_malloc(size_t size);
void *__wrap_calloc(size_t count, size_t size);
void *__wrap_realloc(void *memory, size_t size);
void __wrap_free(void *memory);

/* Of the larger texts, every so manyth request; of all searches but one, every third. */
enum { STEP = 5, SEARCH_STEP = 3 };

static struct {
    bool counting, from_there_on;
    long requests, fail_at, out;
} meter;

static bool fails(void) {
    if (!meter.counting) return false;
    meter.requests++;
    return meter.requests == meter.fail_at ||
           (meter.from_there_on && meter.requests > meter.fail_at);
}

void *__wrap_malloc(size_t size) {
    void *memory = fails() ? NULL : __real_malloc(size);
    meter.out += meter.counting && memory != NULL;
    return memory;
}

void *__wrap_calloc(size_t count, size_t size) {
    void *memory = fails() ? NULL : __real_calloc(count, size);
    meter.out += meter.counting && memory != NULL;
    return memory;
}

void *__wrap_realloc(void *old, size_t size) {
    void *memory = fails() ? NULL : __real_realloc(old, size);
    meter.out += meter.counting && memory != NULL && old == NULL;
    return memory;
}

void __wrap_free(void *memory) {
    meter.out -= meter.counting && memory != NULL;
    __real_free(memory);
}

/* ---- texts ---- */

struct text {
    const char *name;
    struct selvage_text text;
};

static char *read_whole(const char *path, size_t *length) {
    enum { ROOM = 1 << 17 };
    FILE *file = fopen(path, "rb");
    if (file == NULL) fail_msg("%s cannot be read; the tests run in the project's folder", path);
    char *bytes = malloc(ROOM);
    *length = fread(bytes, 1, ROOM, file);
    fclose(file);
    return bytes;
}

/* Texts that use others use this one. */
static struct selvage_text shop;

static bool read_shop(void *context, const char *path, struct selvage_text *text) {
    (void)context;
    (void)path;
    *text = shop;
    return true;
}

/* ---- one run ---- */

struct outcome {
    bool compiled, reported, mended, emitted, searched;
};

static bool tells_of_memory(selvage_compilation *c) {
    struct selvage_text text;
    return !selvage_report(c, SELVAGE_TEXT, SELVAGE_ADVICE, &text) || selvage_errors(c) > 0;
}

/* Other ways to string the patterns, each list in another form, and the text written out. */
static bool search_and_expand(selvage_compilation *c, bool compiled) {
    struct selvage_text text;
    bool whole = true;
    for (size_t i = 0; i < selvage_patterns(c); i++) {
        enum selvage_comparison form = (enum selvage_comparison)(i % 3);
        bool ready = selvage_pattern_ready(c, i);
        enum selvage_result result = selvage_search(c, i, 2, form, &text);
        assert_true(result == (ready ? SELVAGE_DONE : SELVAGE_NOT_READY) ||
                    result == SELVAGE_NO_MEMORY);
        if (result == SELVAGE_DONE) assert_int_equal(strlen(text.bytes), text.length);
        whole &= result != SELVAGE_NO_MEMORY;
    }
    enum selvage_result result = selvage_expand(c, &text);
    if (!compiled) assert_int_not_equal(result, SELVAGE_DONE);
    if (result == SELVAGE_DONE) assert_int_equal(strlen(text.bytes), text.length);
    return whole && result != SELVAGE_NO_MEMORY;
}

/* What the frame of the first pattern feels: the picture and even pulls take most. */
static bool feel(selvage_compilation *c) {
    struct selvage_text text = {NULL, 0};
    bool whole = true;
    for (int form = SELVAGE_BED_TEXT; form <= SELVAGE_BED_PICTURE; form++) {
        bool even = form == SELVAGE_BED_TEXT || form == SELVAGE_BED_JSON;
        enum selvage_result result = selvage_bed(c, 0, even, (enum selvage_bed_form)form, &text);
        assert_true(result == SELVAGE_DONE || result == SELVAGE_NO_MEMORY);
        if (result == SELVAGE_DONE) assert_int_equal(strlen(text.bytes), text.length);
        whole &= result == SELVAGE_DONE;
    }
    return whole;
}

static void test_bed(void **state) {
    (void)state;
    static const char text[] = SMALL_FRAME SMALL_PATTERN;
    struct selvage_request request = {.name = "small.slv", .text = {text, strlen(text)}};
    long tried = 0;
    for (int mode = 0; mode < 2; mode++) {
        bool failed = true;
        for (long n = 1; failed; n += STEP) {
            meter.requests = meter.out = 0;
            selvage_compilation *c = selvage_compile(&request);
            meter.requests = 0;
            meter.fail_at = n;
            meter.from_there_on = mode == 1;
            meter.counting = true;
            bool whole = feel(c);
            selvage_free(c);
            meter.counting = false;
            failed = meter.requests >= n;
            tried += failed;
            assert_int_equal(whole, !failed);
        }
    }
    print_message("a bed: %ld requests failed\n", tried);
}

/* A run from beginning to end; what of it went well. */
static struct outcome run(const struct selvage_request *request, size_t errors) {
    struct outcome outcome = {true, true, true, true, true};
    struct selvage_text text;
    size_t changes;
    selvage_compilation *c = selvage_compile(request);
    if (c == NULL) return (struct outcome){false, false, false, false, false};
    if (selvage_lacked_memory(c)) {
        outcome.compiled = false;
        assert_true(tells_of_memory(c));
        assert_true(selvage_errors(c) > 0);
    } else {
        assert_int_equal(selvage_errors(c), errors);
    }
    for (int form = SELVAGE_TEXT; form <= SELVAGE_SARIF; form++)
        outcome.reported &= selvage_report(c, (enum selvage_form)form, SELVAGE_ADVICE, &text);
    outcome.mended = selvage_mend(c, &text, &changes);
    for (size_t i = 0; i < selvage_patterns(c); i++)
        for (int output = 0; output < SELVAGE_OUTPUTS; output++) {
            if (output == SELVAGE_ORDER) continue;
            bool ready = selvage_pattern_ready(c, i);
            if (!outcome.compiled) assert_false(ready);
            enum selvage_result result =
                selvage_emit(c, i, (enum selvage_output)output, NULL, &text);
            assert_true(result == (ready ? SELVAGE_DONE : SELVAGE_NOT_READY) ||
                        result == SELVAGE_NO_MEMORY);
            if (result == SELVAGE_DONE) assert_int_equal(strlen(text.bytes), text.length);
            outcome.emitted &= result != SELVAGE_NO_MEMORY;
        }
    outcome.searched = search_and_expand(c, outcome.compiled);
    selvage_free(c);
    return outcome;
}

/* Every request fails, or every `step`th of a text that makes thousands of them. */
static void fail_at_requests(const char *name, const struct selvage_request *request, long step) {
    meter.fail_at = 0;
    selvage_compilation *c = selvage_compile(request);
    size_t errors = selvage_errors(c);
    selvage_free(c);
    long tried = 0;
    for (int mode = 0; mode < 2; mode++) {
        bool failed = true;
        for (long n = 1; failed; n += step) {
            meter.requests = meter.out = 0;
            meter.fail_at = n;
            meter.from_there_on = mode == 1;
            meter.counting = true;
            struct outcome outcome = run(request, errors);
            meter.counting = false;
            failed = meter.requests >= n;
            tried += failed;
            assert_int_equal(meter.out, 0);
            bool all = outcome.compiled && outcome.reported && outcome.mended && outcome.emitted &&
                       outcome.searched;
            assert_int_equal(all, !failed);
        }
    }
    print_message("%s: %ld of %ld requests failed, singly and with all that follow\n", name,
                  tried / 2, meter.requests);
}

static void test_every_request_fails(void **state) {
    (void)state;
    static const char text[] = SMALL_FRAME SMALL_PATTERN;
    struct selvage_request request = {.name = "small.slv", .text = {text, strlen(text)}};
    fail_at_requests("a small pattern", &request, 1);
}

/* Legs to be found: all of them, those that are left out, and some that no line allows. */
static void test_search(void **state) {
    (void)state;
    static const struct {
        const char *name, *lines;
    } rows[] = {{"no legs", "one piece"},
                {"no legs, two pieces", "two pieces; crosses from head, skip C2; aims changes"},
                {"the rest", "two pieces; mains from throat\n  left M1..M2\n"
                             "  cross C1..C4, thread 1 ahead\n  find the rest"},
                {"one clamp and lines that hold", "one piece, long side left; hold C1 for short\n"
                                                  "  bench one; loops up to 200 mm"},
                {"lines that exclude each other", "one piece; crosses from head by long\n"
                                                  "  mains from head; finish at head\n"
                                                  "  loops up to 42 mm"}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        char text[1000];
        snprintf(text, sizeof text,
                 SMALL_FRAME "bench one { clamps 1 fixed, 3 starting }\n"
                             "pattern p for small { %s; tension 25 lb, last pulls +1 lb }\n",
                 rows[i].lines);
        struct selvage_request request = {.name = "small.slv", .text = {text, strlen(text)}};
        fail_at_requests(rows[i].name, &request, i == 0 ? 1 : SEARCH_STEP);
    }
}

/* Braces far inside one another and long lists make the parser's stacks grow. */
static void test_parser_stacks(void **state) {
    (void)state;
    char text[600] = "frame a { ";
    for (int i = 0; i < 90; i++)
        strcat(text, "x { ");
    for (int i = 0; i < 90; i++)
        strcat(text, "} ");
    strcat(text, "}\n");
    struct selvage_request request = {.name = "braces.slv", .text = {text, strlen(text)}};
    fail_at_requests("braces", &request, 1);
}

static void test_larger_texts(void **state) {
    (void)state;
    static const char *const paths[] = {"patterns/kestrel.slv",
                                        "patterns/dunlin.slv",
                                        "patterns/pike.slv",
                                        "tests/golden/good/turns.slv",
                                        "tests/golden/bad/many-faults.slv",
                                        "tests/golden/bad/loops-cross.slv",
                                        "tests/golden/bad/clamps-short.slv",
                                        "tests/golden/bad/syntax.slv"};
    char *shop_bytes = read_whole("patterns/shop.slv", &shop.length);
    shop.bytes = shop_bytes;
    for (size_t i = 0; i < sizeof paths / sizeof *paths; i++) {
        size_t length;
        char *bytes = read_whole(paths[i], &length);
        struct selvage_request request = {
            .name = paths[i], .text = {bytes, length}, .read = read_shop};
        fail_at_requests(paths[i], &request, STEP);
        request.findings_only = true;
        fail_at_requests("the same, findings only", &request, STEP);
        free(bytes);
    }
    free(shop_bytes);
}

/* Pages of cards, in tiles. */
static bool make_chart(selvage_compilation *c) {
    const struct selvage_item items[] = {{c, 0}, {c, 0}};
    struct selvage_chart chart = {
        .paper = SELVAGE_A3, .landscape = true, .tiled = true, .tile = SELVAGE_A4};
    struct selvage_text text;
    enum selvage_result result = selvage_plan_chart(c, items, 2, &chart);
    if (result == SELVAGE_DONE) result = selvage_chart_holds(c, items, &chart);
    for (size_t page = 0; result == SELVAGE_DONE && page < chart.pages; page++)
        result = selvage_chart_page(c, items, 2, &chart, page, &text);
    assert_true(result == SELVAGE_DONE || result == SELVAGE_NO_MEMORY);
    return result == SELVAGE_DONE;
}

/* Of the many requests it takes to find the best of all layouts, every so manyth fails. */
static void test_charts(void **state) {
    (void)state;
    enum { STRIDE = 7 };
    static const char text[] = SMALL_FRAME SMALL_PATTERN;
    struct selvage_request request = {.name = "small.slv", .text = {text, strlen(text)}};
    long tried = 0;
    bool failed = true;
    for (long n = 1; failed; n += STRIDE) {
        meter.requests = meter.out = meter.fail_at = 0;
        meter.from_there_on = false;
        meter.counting = true;
        selvage_compilation *c = selvage_compile(&request);
        meter.fail_at = meter.requests + n;
        meter.from_there_on = n % 2 == 0;
        bool made = make_chart(c);
        failed = meter.requests >= meter.fail_at;
        assert_int_equal(made, !failed);
        selvage_free(c);
        meter.counting = false;
        assert_int_equal(meter.out, 0);
        tried += failed;
    }
    print_message("a chart: %ld of %ld requests failed\n", tried, meter.requests);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_every_request_fails),
        cmocka_unit_test(test_search),
        cmocka_unit_test(test_bed),
        cmocka_unit_test(test_parser_stacks),
        cmocka_unit_test(test_larger_texts),
        cmocka_unit_test(test_charts),
    };
    return cmocka_run_group_tests_name("memory", tests, NULL, NULL);
}
