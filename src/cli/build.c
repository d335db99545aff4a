/* build: every output of every pattern, into a folder; what would not change is left alone. */
#include "cli/job.h"
#include "cli/verbs.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>

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
static enum exit_status warn_of_older(const struct build *build, const struct job *job,
                                      const char *name) {
    bool older = false;
    for (int i = 0; i < SELVAGE_BUILT; i++) {
        char *path = output_path(build, name, (enum selvage_output)i);
        older |= path != NULL && file_exists(path);
        free(path);
    }
    fprintf(stderr, "selvage: %s: pattern %s is not built%s%s%s\n", job->path, name,
            older ? "; its files in " : "", older ? build->arguments->to : "",
            older ? " are from an earlier run" : "");
    return EXIT_FINDINGS;
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
    for (int i = 0; status == EXIT_DONE && i < SELVAGE_BUILT; i++) {
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
    if (status == EXIT_USAGE) {
        job_end(&job);
        return status;
    }
    if (status == EXIT_DONE) status = job_print_findings(&job, build->arguments);
    size_t count = job.compilation != NULL ? selvage_patterns(job.compilation) : 0;
    for (size_t i = 0; i < count; i++) {
        const char *name = selvage_pattern_name(job.compilation, i);
        if (selvage_pattern_ready(job.compilation, i))
            status = worse(status, build_pattern(build, &job, i));
        else if (build->arguments->pattern == NULL || strcmp(build->arguments->pattern, name) == 0)
            status = worse(status, warn_of_older(build, &job, name));
    }
    size_t pattern;
    if (job.compilation != NULL && build->arguments->pattern != NULL)
        status = worse(status, job_find_pattern(&job, build->arguments->pattern, &pattern));
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
