/* chart and sheet: patterns for the wall and the bench, as SVG or PDF. */
#include "cli/job.h"
#include "cli/pdf.h"
#include "cli/verbs.h"
#include "cli/walk.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

/* A source whose patterns are on the chart; kept until all is written. */
struct charted {
    struct job job;
    struct memory memory;
    char *path;
    struct charted *next;
};

struct charting {
    const struct arguments *arguments;
    struct charted *first, *last;
    struct selvage_item *items;
    size_t count;
    struct selvage_chart chart;
};

/* ---- what goes on it ---- */

static struct charted *add_source(struct charting *charting, char *path) {
    struct charted *source = calloc(1, sizeof *source);
    if (source == NULL) return NULL;
    source->path = path;
    memory_open(&source->memory, ROOM_TO_CHECK);
    if (charting->last != NULL)
        charting->last->next = source;
    else
        charting->first = source;
    charting->last = source;
    return source;
}

static bool add_item(struct charting *charting, const struct job *job, size_t pattern) {
    struct selvage_item *grown =
        realloc(charting->items, (charting->count + 1) * sizeof *charting->items);
    if (grown == NULL) return false;
    charting->items = grown;
    grown[charting->count++] = (struct selvage_item){job->compilation, pattern};
    return true;
}

/* With what its frame feels, where that is asked for. */
static enum exit_status take_pattern(struct charting *charting, const struct job *job,
                                     size_t pattern) {
    struct selvage_text text = {0};
    if (charting->arguments->bed) {
        enum selvage_result result = selvage_feel(job->compilation, pattern, &text);
        if (result != SELVAGE_DONE) return judge_felt(job->path, result, text);
    }
    return add_item(charting, job, pattern) ? EXIT_DONE : complain(job->path, "not enough memory");
}

/* Every pattern that is ready, or the one that is named. */
static enum exit_status take_patterns(struct charting *charting, const struct job *job) {
    enum exit_status status = EXIT_DONE;
    const char *wanted = charting->arguments->pattern;
    size_t one = 0, count = selvage_patterns(job->compilation);
    if (wanted != NULL || charting->arguments->verb == VERB_SHEET) {
        status = job_find_pattern(job, wanted, &one);
        if (status != EXIT_DONE) return status;
        wanted = selvage_pattern_name(job->compilation, one);
    }
    for (size_t i = 0; i < count; i++) {
        const char *name = selvage_pattern_name(job->compilation, i);
        if (wanted != NULL && strcmp(wanted, name) != 0) continue;
        if (!selvage_pattern_ready(job->compilation, i)) {
            fprintf(stderr, "selvage: %s: pattern %s has faults and is left out\n", job->path,
                    name);
            status = worse(status, EXIT_FINDINGS);
        } else {
            status = worse(status, take_pattern(charting, job, i));
        }
    }
    return status;
}

/* Takes the path. */
static enum exit_status take_file(struct charting *charting, char *path) {
    struct charted *source = add_source(charting, path);
    if (source == NULL) {
        enum exit_status status = complain(path, "not enough memory");
        free(path);
        return status;
    }
    enum exit_status status =
        job_start(&source->job, charting->arguments, &source->memory, source->path);
    if (status != EXIT_DONE) return status;
    status = job_print_findings(&source->job, charting->arguments);
    return worse(status, take_patterns(charting, &source->job));
}

static enum exit_status take_files(struct charting *charting) {
    enum exit_status status = EXIT_DONE;
    struct walk walk;
    int error;
    walk_open(&walk, charting->arguments->files);
    for (char *path; (path = walk_next(&walk, &error)) != NULL;) {
        if (error == 0) {
            status = worse(status, take_file(charting, path));
            continue;
        }
        status = worse(status, complain(path, strerror(error)));
        free(path);
    }
    if (error != 0) status = worse(status, complain("chart", strerror(error)));
    walk_close(&walk);
    /* none of the sources is written over */
    for (struct charted *source = charting->first; source != NULL; source = source->next)
        source->job.files.beside = source->next != NULL ? &source->next->job.files : NULL;
    return status;
}

static void let_go(struct charting *charting) {
    for (struct charted *source = charting->first, *next; source != NULL; source = next) {
        next = source->next;
        job_end(&source->job);
        memory_close(&source->memory);
        free(source->path);
        free(source);
    }
    free(charting->items);
}

/* ---- the paper ---- */

static const char *const paper_words[SELVAGE_PAPERS] = {"A2", "A3", "A4", "A5", "letter"};

/* The compilation that the pages are made with. */
static selvage_compilation *maker(const struct charting *charting) {
    for (const struct charted *source = charting->first; source != NULL; source = source->next)
        if (source->job.compilation == charting->items[0].compilation)
            return source->job.compilation;
    return NULL;
}

static struct selvage_chart wanted_chart(const struct arguments *arguments) {
    return (struct selvage_chart){.paper = arguments->paper,
                                  .landscape = arguments->landscape,
                                  .bench = arguments->verb == VERB_SHEET,
                                  .tiled = arguments->tiled,
                                  .tile = arguments->tile};
}

/* Tiles are of the papers that printers at home take; A4 and letter are as large as each other. */
static enum exit_status judge_tiles(const struct arguments *arguments) {
    if (!arguments->tiled || arguments->paper < SELVAGE_A4) return EXIT_DONE;
    fprintf(stderr, "selvage: tiles of %s are no smaller than sheets of %s\n",
            paper_words[arguments->tile], paper_words[arguments->paper]);
    return EXIT_USAGE;
}

/* The file that a pattern on the chart comes from. */
static const char *path_of(const struct charting *charting, const struct selvage_item *item) {
    for (const struct charted *source = charting->first; source != NULL; source = source->next)
        if (source->job.compilation == item->compilation) return source->path;
    return "";
}

static void name_too_dense(const struct charting *charting, const struct selvage_item *item) {
    const struct arguments *arguments = charting->arguments;
    fprintf(stderr,
            "selvage: %s: pattern %s does not go on %s in type that can be read%s; take larger "
            "paper\n",
            path_of(charting, item), selvage_pattern_name(item->compilation, item->pattern),
            paper_words[arguments->paper], arguments->verb == VERB_CHART ? " and is left out" : "");
}

/* Takes off what does not even go on the paper alone. */
static enum exit_status leave_out(struct charting *charting) {
    selvage_compilation *first = maker(charting);
    size_t kept = 0;
    for (size_t i = 0; i < charting->count; i++) {
        struct selvage_item item = charting->items[i];
        enum selvage_result result = selvage_chart_holds(first, &item, &charting->chart);
        if (result == SELVAGE_DONE)
            charting->items[kept++] = item;
        else if (result == SELVAGE_NO_ROOM)
            name_too_dense(charting, &item);
        else
            return judge_result(path_of(charting, &item), result);
    }
    charting->count = kept;
    return kept > 0 ? EXIT_FINDINGS : EXIT_USAGE;
}

static enum selvage_result try_plan(struct charting *charting) {
    charting->chart = wanted_chart(charting->arguments);
    return selvage_plan_chart(maker(charting), charting->items, charting->count, &charting->chart);
}

/* What does not go on the paper is left out, and the rest tried again. */
static enum exit_status plan(struct charting *charting) {
    enum exit_status status = EXIT_DONE;
    enum selvage_result result = try_plan(charting);
    if (result == SELVAGE_NO_ROOM) {
        status = leave_out(charting);
        if (status != EXIT_FINDINGS) return status;
        result = try_plan(charting);
    }
    if (result != SELVAGE_NO_ROOM)
        return worse(status, judge_result(charting->arguments->files[0], result));
    fprintf(stderr, "selvage: these patterns do not go on %s together; print them one by one\n",
            paper_words[charting->arguments->paper]);
    return EXIT_USAGE;
}

static enum exit_status make_page(const struct charting *charting, size_t page,
                                  struct selvage_text *text) {
    return judge_result(charting->arguments->files[0],
                        selvage_chart_page(maker(charting), charting->items, charting->count,
                                           &charting->chart, page, text));
}

/* ---- writing ---- */

static bool is_printed(const char *to) { return to == NULL || strcmp(to, "-") == 0; }

static enum exit_status write_file(const struct charting *charting, const char *path,
                                   struct selvage_text text) {
    return judge_written(path, file_write(&charting->first->job.files, path, text));
}

/* "chart-2.svg" for "chart.svg"; to be freed. */
static char *page_path(const char *to, size_t page) {
    size_t length = strlen(to), room = length + 24;
    char *path = malloc(room);
    if (path != NULL)
        snprintf(path, room, "%.*s-%zu%s", (int)(length - 4), to, page + 1, to + length - 4);
    return path;
}

/* Which files were written, where the names are not those that were said. */
static enum exit_status name_page(const char *path) {
    return puts(path) >= 0 ? EXIT_DONE : complain("standard output", strerror(errno));
}

/* None of the pages may go over a source. */
static enum exit_status judge_page_name(const struct charting *charting, const char *path,
                                        size_t page) {
    (void)page;
    bool source = path_was_read(&charting->first->job.files, path);
    return judge_written(path, source ? WRITE_REFUSED : WRITE_DONE);
}

static enum exit_status write_page(const struct charting *charting, const char *path, size_t page) {
    struct selvage_text text;
    enum exit_status status = make_page(charting, page, &text);
    if (status == EXIT_DONE) status = write_file(charting, path, text);
    return status == EXIT_DONE ? name_page(path) : status;
}

/* Does the same for each page and its file, as long as that goes well. */
static enum exit_status each_page(const struct charting *charting,
                                  enum exit_status (*act)(const struct charting *charting,
                                                          const char *path, size_t page)) {
    const char *to = charting->arguments->to;
    enum exit_status status = EXIT_DONE;
    for (size_t page = 0; status == EXIT_DONE && page < charting->chart.pages; page++) {
        char *path = page_path(to, page);
        if (path == NULL) return complain(to, "not enough memory");
        status = act(charting, path, page);
        free(path);
    }
    return status;
}

static enum exit_status write_svg_pages(const struct charting *charting) {
    enum exit_status status = each_page(charting, judge_page_name);
    if (status == EXIT_DONE) status = each_page(charting, write_page);
    if (fflush(stdout) != 0) status = worse(status, complain("standard output", strerror(errno)));
    return status;
}

static enum exit_status write_svg(const struct charting *charting) {
    struct selvage_text text;
    const char *to = charting->arguments->to;
    if (charting->chart.pages > 1 && is_printed(to)) {
        fprintf(stderr, "selvage: this takes %zu pages; say where they go with -o\n",
                charting->chart.pages);
        return EXIT_USAGE;
    }
    if (charting->chart.pages > 1) return write_svg_pages(charting);
    enum exit_status status = make_page(charting, 0, &text);
    if (status != EXIT_DONE) return status;
    if (!is_printed(to)) return write_file(charting, to, text);
    return print(stdout, text) ? EXIT_DONE : complain("standard output", strerror(errno));
}

static enum exit_status judge_pdf(const char *path, enum pdf_result result) {
    switch (result) {
    case PDF_DONE: return EXIT_DONE;
    case PDF_NO_LIBRARY:
        return complain(path, "PDF needs librsvg 2.52 or later (Debian package librsvg2-2), which "
                              "is not installed; SVG does not");
    case PDF_NO_MEMORY: return complain(path, "not enough memory");
    case PDF_FAILED: break;
    }
    return complain(path, "librsvg cannot make a PDF of this");
}

static enum exit_status add_pages(const struct charting *charting, struct pdf *pdf) {
    const struct selvage_chart *chart = &charting->chart;
    enum exit_status status = EXIT_DONE;
    for (size_t page = 0; status == EXIT_DONE && page < chart->pages; page++) {
        struct selvage_text text;
        status = make_page(charting, page, &text);
        if (status == EXIT_DONE)
            status = judge_pdf(charting->arguments->to,
                               pdf_add(pdf, text, chart->page_width, chart->page_height));
    }
    return status;
}

static enum exit_status write_pdf(const struct charting *charting) {
    const char *to = charting->arguments->to,
               *title = charting->count > 1 ? "Stringing patterns"
                                            : selvage_pattern_name(charting->items[0].compilation,
                                                                   charting->items[0].pattern);
    enum pdf_result result;
    struct pdf *pdf = pdf_open(title, &result);
    if (pdf == NULL) return judge_pdf(to, result);
    struct selvage_text bytes;
    enum exit_status status = add_pages(charting, pdf);
    if (status == EXIT_DONE) status = judge_pdf(to, pdf_finish(pdf, &bytes));
    if (status == EXIT_DONE) status = write_file(charting, to, bytes);
    pdf_free(pdf);
    return status;
}

/* In any case. */
static bool ends_with(const char *text, const char *ending) {
    size_t length = strlen(text), own = strlen(ending);
    return length > own && strcasecmp(text + length - own, ending) == 0;
}

enum exit_status run_chart(const struct arguments *arguments) {
    struct charting charting = {.arguments = arguments};
    const char *to = arguments->to;
    bool pdf = to != NULL && ends_with(to, ".pdf");
    if (!is_printed(to) && !pdf && !ends_with(to, ".svg")) {
        fprintf(stderr, "selvage: %s: name a file that ends in .svg or .pdf\n", to);
        return EXIT_USAGE;
    }
    if (judge_tiles(arguments) != EXIT_DONE) return EXIT_USAGE;
    enum exit_status status = take_files(&charting), written = EXIT_DONE;
    /* What has faults is left out; what cannot be read at all is not passed over. */
    if (status <= EXIT_FINDINGS && charting.count > 0) {
        status = worse(status, plan(&charting));
        if (status <= EXIT_FINDINGS) written = pdf ? write_pdf(&charting) : write_svg(&charting);
    } else if (status == EXIT_DONE) {
        fprintf(stderr, "selvage: there is no pattern to print\n");
        written = EXIT_USAGE;
    }
    let_go(&charting);
    return worse(status, written);
}
