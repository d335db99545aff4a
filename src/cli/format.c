/* Verbs that give a source back: format and expand. */
#include "cli/job.h"
#include "cli/verbs.h"
#include "cli/walk.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>

/* ---- format ---- */

static enum exit_status name_file(const char *path) {
    if (puts(path) < 0 || fflush(stdout) != 0) return complain("standard output", strerror(errno));
    return EXIT_FINDINGS;
}

/* The one place where a source is written over. */
static enum exit_status rewrite(const char *path, struct selvage_text text) {
    static const struct files none = {0};
    if (file_write(&none, path, text) == WRITE_FAILED) return complain(path, strerror(errno));
    return EXIT_DONE;
}

static enum exit_status give_layout(const struct arguments *arguments, const struct job *job,
                                    struct selvage_text text) {
    bool same =
        text.length == job->text.length && memcmp(text.bytes, job->text.bytes, text.length) == 0;
    if (arguments->check) return same ? EXIT_DONE : name_file(job->path);
    if (!arguments->write) return job_write_output(job, NULL, text);
    return same ? EXIT_DONE : rewrite(job->path, text);
}

static enum exit_status format_file(const struct arguments *arguments, struct memory *memory,
                                    const char *path) {
    struct job job;
    struct selvage_text text;
    enum exit_status status = job_start(&job, arguments, memory, path);
    if (status == EXIT_DONE && selvage_errors(job.compilation) > 0)
        status = job_print_findings(&job, arguments);
    if (status == EXIT_DONE) status = judge_result(path, selvage_format(job.compilation, &text));
    if (status == EXIT_DONE) status = give_layout(arguments, &job, text);
    job_end(&job);
    return status;
}

/* Each file, and every .slv below each folder. */
static enum exit_status format_many(const struct arguments *arguments, struct memory *memory) {
    enum exit_status status = EXIT_DONE;
    struct walk walk;
    int error;
    walk_open(&walk, arguments->files);
    for (char *path; (path = walk_next(&walk, &error)) != NULL; free(path))
        status = worse(status, error != 0 ? complain(path, strerror(error))
                                          : format_file(arguments, memory, path));
    if (error != 0) status = worse(status, complain("format", strerror(error)));
    walk_close(&walk);
    return status;
}

enum exit_status run_format(const struct arguments *arguments) {
    struct memory memory;
    memory_open(&memory, ROOM_TO_CHECK);
    bool many = arguments->check || arguments->write;
    enum exit_status status = many ? format_many(arguments, &memory)
                                   : format_file(arguments, &memory, arguments->files[0]);
    memory_close(&memory);
    return status;
}

/* ---- expand ---- */

enum exit_status run_expand(const struct arguments *arguments) {
    struct memory memory;
    memory_open(&memory, ROOM_TO_EMIT);
    struct job job;
    size_t pattern;
    struct selvage_text text;
    enum exit_status status = job_start(&job, arguments, &memory, arguments->files[0]);
    if (status == EXIT_DONE) status = job_print_findings(&job, arguments);
    if (status == EXIT_DONE && arguments->pattern != NULL)
        status = job_find_pattern(&job, arguments->pattern, &pattern);
    if (status == EXIT_DONE)
        status = judge_result(job.path, selvage_expand(job.compilation, &text));
    if (status == EXIT_DONE) status = job_write_output(&job, arguments->to, text);
    job_end(&job);
    memory_close(&memory);
    return status;
}
