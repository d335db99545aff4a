/* Any text to every output of every ready pattern, but for the order graph, whose library is not
 * ours. Claims: what is ready can be written, twice the same; every output is UTF-8 without stray
 * control characters; JSON is read back by yajl; tags are closed; rows of CSV are equally long. */
#include "fuzz/target.h"

#include "ground/utf8.h"

#include <stdlib.h>
#include <string.h>
#include <yajl/yajl_parse.h>

/* `blank`: the control character that may stand there besides the line feed. */
static void judge_text(const struct selvage_text *text, char blank) {
    CLAIM(text->length > 0);
    CLAIM(text->bytes[text->length - 1] == '\n');
    for (size_t at = 0, step; at < text->length; at += step) {
        uint32_t c = utf8_decode(text->bytes + at, text->length - at, &step);
        CLAIM(c != UTF8_BAD);
        CLAIM((c >= ' ' && c != 0x7F) || c == '\n' || c == (unsigned char)blank);
    }
}

static void judge_json(const struct selvage_text *text) {
    yajl_handle handle = yajl_alloc(NULL, NULL, NULL);
    CLAIM(handle != NULL);
    CLAIM(yajl_parse(handle, (const unsigned char *)text->bytes, text->length) == yajl_status_ok);
    CLAIM(yajl_complete_parse(handle) == yajl_status_ok);
    yajl_free(handle);
}

/* Every element is closed, in order: the depth never falls below zero and ends at zero. */
static void judge_tags(const struct selvage_text *text) {
    long depth = 0;
    const char *at = text->bytes, *end = text->bytes + text->length;
    while ((at = memchr(at, '<', (size_t)(end - at))) != NULL) {
        const char *close = memchr(at, '>', (size_t)(end - at));
        CLAIM(close != NULL);
        if (at[1] == '/')
            depth--;
        else if (at[1] != '?' && at[1] != '!' && close[-1] != '/')
            depth++;
        CLAIM(depth >= 0);
        at = close;
    }
    CLAIM(depth == 0);
}

static void judge_csv(const struct selvage_text *text) {
    size_t commas = 0, first = 0;
    bool quoted = false;
    for (size_t i = 0; i < text->length; i++) {
        char c = text->bytes[i];
        if (c == '"') quoted = !quoted;
        if (quoted) continue;
        if (c == ',') commas++;
        if (c != '\n') continue;
        if (first == 0) first = commas;
        CLAIM(commas == first);
        commas = 0;
    }
    CLAIM(!quoted);
}

static void judge_output(selvage_compilation *compilation, size_t pattern,
                         enum selvage_output output) {
    struct selvage_text text, again;
    CLAIM(selvage_emit(compilation, pattern, output, NULL, &text) == SELVAGE_DONE);
    judge_text(&text, output == SELVAGE_STEPS_CSV ? '\r' : '\n');
    if (output == SELVAGE_EXPORT) judge_json(&text);
    if (output == SELVAGE_DRAWING) judge_tags(&text);
    if (output == SELVAGE_STEPS_CSV) judge_csv(&text);
    char *kept = malloc(text.length + 1);
    CLAIM(kept != NULL);
    memcpy(kept, text.bytes, text.length);
    CLAIM(selvage_emit(compilation, pattern, output, NULL, &again) == SELVAGE_DONE);
    CLAIM(again.length == text.length && memcmp(again.bytes, kept, again.length) == 0);
    free(kept);
}

/* A card that goes on its paper is whole SVG, and the same twice. */
static void judge_card(selvage_compilation *compilation, size_t pattern, enum selvage_paper paper) {
    const struct selvage_item item = {compilation, pattern};
    struct selvage_chart chart = {.paper = paper, .bench = paper == SELVAGE_A4};
    enum selvage_result result = selvage_plan_chart(compilation, &item, 1, &chart);
    CLAIM(result == SELVAGE_DONE || result == SELVAGE_NO_ROOM);
    if (result != SELVAGE_DONE) return;
    CLAIM(chart.pages == 1);
    struct selvage_text text;
    CLAIM(selvage_chart_page(compilation, &item, 1, &chart, 0, &text) == SELVAGE_DONE);
    judge_text(&text, '\n');
    judge_tags(&text);
    CLAIM(strstr(text.bytes, "class=\"card\"") != NULL);
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length) {
    struct selvage_request request = {.name = "text.slv",
                                      .text = {(const char *)bytes, length},
                                      .read = target_read,
                                      .context = &request.text};
    selvage_compilation *compilation = selvage_compile(&request);
    CLAIM(compilation != NULL);
    for (size_t i = 0; i < selvage_patterns(compilation); i++) {
        if (!selvage_pattern_ready(compilation, i)) continue;
        for (int output = 0; output < SELVAGE_OUTPUTS; output++)
            if (output != SELVAGE_ORDER) judge_output(compilation, i, (enum selvage_output)output);
        judge_card(compilation, i, SELVAGE_A4);
        judge_card(compilation, i, SELVAGE_A2);
    }
    selvage_free(compilation);
    return 0;
}
