/* The verbs: read, compile, print findings, write. */
#include "cli/verbs.h"

#include "cli/job.h"

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static bool read_for(void *context, const char *path, struct selvage_text *text) {
    return files_read(context, path, text);
}

enum exit_status complain(const char *path, const char *what) {
    fprintf(stderr, "selvage: %s: %s\n", path, what);
    return EXIT_FILES;
}

enum exit_status job_start(struct job *job, const struct arguments *arguments,
                           struct memory *memory, const char *path) {
    *job = (struct job){.path = path, .memory = memory};
    struct selvage_request request = {.name = strcmp(path, "-") == 0 ? "standard input" : path,
                                      .read = read_for,
                                      .context = &job->files,
                                      .pattern = arguments->pattern,
                                      .string = arguments->string,
                                      .bench = arguments->bench,
                                      .findings_only = arguments->verb == VERB_CHECK,
                                      .layout_only = arguments->verb == VERB_FORMAT,
                                      .get_memory = memory_get,
                                      .put_memory = memory_put,
                                      .memory_context = memory};
    if (!files_read(&job->files, path, &request.text)) return complain(path, strerror(errno));
    job->text = request.text;
    job->compilation = selvage_compile(&request);
    return job->compilation != NULL ? EXIT_DONE : complain(path, "not enough memory");
}

void job_end(struct job *job) {
    selvage_free(job->compilation);
    files_free(&job->files);
    memory_reset(job->memory);
}

bool print(FILE *stream, struct selvage_text text) {
    return fwrite(text.bytes, 1, text.length, stream) == text.length && fflush(stream) == 0;
}

enum exit_status print_findings(struct job *job, FILE *stream) {
    struct selvage_text report;
    if (!selvage_report(job->compilation, &report)) return complain(job->path, "not enough memory");
    if (!print(stream, report)) return complain("standard output", strerror(errno));
    return selvage_errors(job->compilation) > 0 ? EXIT_FINDINGS : EXIT_DONE;
}

enum exit_status judge_result(const char *path, enum selvage_result result) {
    switch (result) {
    case SELVAGE_DONE: return EXIT_DONE;
    case SELVAGE_NO_MEMORY: return complain(path, "not enough memory");
    case SELVAGE_NO_LIBRARY:
        return complain(path,
                        "the order graph needs libcgraph of Graphviz, which is not installed");
    default: return EXIT_FINDINGS;
    }
}

enum exit_status worse(enum exit_status a, enum exit_status b) { return a > b ? a : b; }

enum exit_status find_pattern(const struct job *job, const char *name, size_t *pattern) {
    size_t count = selvage_patterns(job->compilation);
    for (size_t i = 0; name != NULL && i < count; i++) {
        if (strcmp(selvage_pattern_name(job->compilation, i), name) != 0) continue;
        *pattern = i;
        return EXIT_DONE;
    }
    if (name == NULL && count == 1) {
        *pattern = 0;
        return EXIT_DONE;
    }
    if (count == 0)
        fprintf(stderr, "selvage: %s: there is no pattern in this file\n", job->path);
    else if (name != NULL)
        fprintf(stderr, "selvage: %s: there is no pattern called %s in this file; it holds:\n",
                job->path, name);
    else
        fprintf(stderr, "selvage: %s: this file holds several patterns; say which with -p:\n",
                job->path);
    for (size_t i = 0; i < count; i++)
        fprintf(stderr, "  %s\n", selvage_pattern_name(job->compilation, i));
    return EXIT_USAGE;
}

/* ---- check ---- */

struct tally {
    size_t files, unread, patterns, errors, warnings;
};

static enum exit_status check_file(const struct arguments *arguments, struct memory *memory,
                                   const char *path, struct tally *tally) {
    struct job job;
    size_t pattern;
    enum exit_status status = job_start(&job, arguments, memory, path);
    tally->files++;
    if (status == EXIT_DONE) {
        status = print_findings(&job, stdout);
        if (arguments->pattern != NULL)
            status = worse(status, find_pattern(&job, arguments->pattern, &pattern));
        tally->patterns += arguments->pattern != NULL ? 1 : selvage_patterns(job.compilation);
        tally->errors += selvage_errors(job.compilation);
        tally->warnings += selvage_warnings(job.compilation);
    } else {
        tally->unread++;
    }
    job_end(&job);
    return status;
}

static const char *plural(size_t count) { return count == 1 ? "" : "s"; }

enum exit_status run_check(const struct arguments *arguments) {
    struct memory memory;
    memory_open(&memory, ROOM_TO_CHECK);
    enum exit_status status = EXIT_DONE;
    struct tally tally = {0};
    for (int i = 0; i < arguments->file_count; i++)
        status = worse(status, check_file(arguments, &memory, arguments->files[i], &tally));
    memory_close(&memory);
    printf("%zu file%s, ", tally.files, plural(tally.files));
    if (tally.unread > 0) printf("%zu not read, ", tally.unread);
    printf("%zu pattern%s: %zu error%s, %zu warning%s\n", tally.patterns, plural(tally.patterns),
           tally.errors, plural(tally.errors), tally.warnings, plural(tally.warnings));
    if (fflush(stdout) != 0) return worse(status, complain("standard output", strerror(errno)));
    return status;
}

/* ---- steps, draw, order, export ---- */

static enum exit_status judge_written(const char *path, enum written written) {
    if (written == WRITE_FAILED) return complain(path, strerror(errno));
    if (written != WRITE_REFUSED) return EXIT_DONE;
    fprintf(stderr, "selvage: %s is a source of this pattern and is not written over\n", path);
    return EXIT_USAGE;
}

enum exit_status write_output(const struct job *job, const char *to, struct selvage_text text) {
    if (to == NULL || strcmp(to, "-") == 0)
        return print(stdout, text) ? EXIT_DONE : complain("standard output", strerror(errno));
    return judge_written(to, file_write(&job->files, to, text));
}

enum exit_status run_emit(const struct arguments *arguments) {
    struct memory memory;
    memory_open(&memory, ROOM_TO_EMIT);
    struct job job;
    size_t pattern = 0;
    struct selvage_text text;
    enum exit_status status = job_start(&job, arguments, &memory, arguments->files[0]);
    if (status == EXIT_DONE) status = print_findings(&job, stderr);
    if (status == EXIT_DONE) status = find_pattern(&job, arguments->pattern, &pattern);
    if (status == EXIT_DONE)
        status = judge_result(
            job.path, selvage_emit(job.compilation, pattern, arguments->output, NULL, &text));
    if (status == EXIT_DONE) status = write_output(&job, arguments->to, text);
    job_end(&job);
    memory_close(&memory);
    return status;
}

/* ---- build ---- */

/* A pattern built, and the file it came from. */
struct built {
    char *name;
    const char *path;
};

struct build {
    const struct arguments *arguments;
    struct memory memory;
    struct built *built;
    size_t built_count, written, unchanged;
};

/* Two patterns of one name would write the same files. */
static enum exit_status claim_name(struct build *build, const char *path, const char *name) {
    for (size_t i = 0; i < build->built_count; i++) {
        const struct built *before = &build->built[i];
        if (strcmp(before->name, name) != 0) continue;
        bool same = strcmp(before->path, path) == 0;
        fprintf(stderr, "selvage: %s: pattern %s has been built already, from %s\n", path, name,
                same ? "this file: it is named twice" : before->path);
        return EXIT_USAGE;
    }
    struct built *grown = realloc(build->built, (build->built_count + 1) * sizeof *grown);
    if (grown == NULL) return complain(path, "not enough memory");
    build->built = grown;
    char *copy = malloc(strlen(name) + 1);
    if (copy == NULL) return complain(path, "not enough memory");
    build->built[build->built_count++] = (struct built){strcpy(copy, name), path};
    return EXIT_DONE;
}

/* Where an output of a pattern goes; to be freed, NULL where there is no memory. */
static char *output_path(const struct build *build, const char *name, enum selvage_output output) {
    const char *folder = build->arguments->to, *suffix = selvage_output_suffix(output);
    size_t room = strlen(folder) + strlen(name) + strlen(suffix) + 2;
    char *path = malloc(room);
    if (path != NULL) snprintf(path, room, "%s/%s%s", folder, name, suffix);
    return path;
}

/* Files of a pattern that could not be built may lie in the folder from an earlier run. */
static void warn_of_older(const struct build *build, const struct job *job, const char *name) {
    bool older = false;
    for (int i = 0; i < SELVAGE_OUTPUTS; i++) {
        char *path = output_path(build, name, (enum selvage_output)i);
        older |= path != NULL && file_exists(path);
        free(path);
    }
    fprintf(stderr, "selvage: %s: pattern %s is not built%s%s%s\n", job->path, name,
            older ? "; its files in " : "", older ? build->arguments->to : "",
            older ? " are from an earlier run" : "");
}

/* Writes one output where it differs from what `path` holds. */
static enum exit_status build_output(struct build *build, const struct job *job, size_t pattern,
                                     enum selvage_output output, const char *path) {
    struct files before = {0};
    struct selvage_text previous = {0}, text;
    if (output == SELVAGE_ORDER && !files_read(&before, path, &previous)) previous.length = 0;
    enum exit_status status =
        judge_result(job->path, selvage_emit(job->compilation, pattern, output, &previous, &text));
    bool same = status == EXIT_DONE && previous.length > 0 && previous.length == text.length &&
                memcmp(previous.bytes, text.bytes, text.length) == 0;
    files_free(&before);
    if (status != EXIT_DONE) return status;
    enum written written = same ? WRITE_UNCHANGED : file_write(&job->files, path, text);
    build->written += written == WRITE_DONE;
    build->unchanged += written == WRITE_UNCHANGED;
    return judge_written(path, written);
}

static enum exit_status build_pattern(struct build *build, const struct job *job, size_t pattern) {
    const char *name = selvage_pattern_name(job->compilation, pattern);
    enum exit_status status = claim_name(build, job->path, name);
    for (int i = 0; status == EXIT_DONE && i < SELVAGE_OUTPUTS; i++) {
        enum selvage_output output = (enum selvage_output)i;
        char *path = output_path(build, name, output);
        if (path == NULL) return complain(job->path, "not enough memory");
        status = build_output(build, job, pattern, output, path);
        free(path);
    }
    return status;
}

static enum exit_status build_file(struct build *build, const char *path) {
    struct job job;
    enum exit_status status = job_start(&job, build->arguments, &build->memory, path);
    if (status == EXIT_DONE) status = print_findings(&job, stderr);
    size_t count = job.compilation != NULL ? selvage_patterns(job.compilation) : 0;
    for (size_t i = 0; i < count; i++) {
        const char *name = selvage_pattern_name(job.compilation, i);
        if (selvage_pattern_ready(job.compilation, i))
            status = worse(status, build_pattern(build, &job, i));
        else if (build->arguments->pattern == NULL || strcmp(build->arguments->pattern, name) == 0)
            warn_of_older(build, &job, name);
    }
    size_t pattern;
    if (job.compilation != NULL && build->arguments->pattern != NULL)
        status = worse(status, find_pattern(&job, build->arguments->pattern, &pattern));
    job_end(&job);
    return status;
}

enum exit_status run_build(const struct arguments *arguments) {
    struct build build = {.arguments = arguments};
    if (!folder_make(arguments->to)) return complain(arguments->to, strerror(errno));
    memory_open(&build.memory, ROOM_TO_EMIT);
    enum exit_status status = EXIT_DONE;
    for (int i = 0; i < arguments->file_count; i++)
        status = worse(status, build_file(&build, arguments->files[i]));
    printf("%s: %zu pattern%s, %zu file%s written, %zu unchanged\n", arguments->to,
           build.built_count, plural(build.built_count), build.written, plural(build.written),
           build.unchanged);
    if (fflush(stdout) != 0) status = worse(status, complain("standard output", strerror(errno)));
    memory_close(&build.memory);
    for (size_t i = 0; i < build.built_count; i++)
        free(build.built[i].name);
    free(build.built);
    return status;
}
