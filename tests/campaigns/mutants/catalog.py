"""The mutants. The first are those that once survived."""

from typing import Final

from tests.campaigns.mutants.mutant import Mutant

RELEASES, STEPS = "tests/record/unit/test_releases.py", "tests/record/unit/test_steps.py"
ENTRIES, CHECKS = "tests/record/unit/test_entries.py", "tests/record/instrument/test_checks.py"
PERFORM, PERMISSIONS = "tests/actions/test_perform.py", "tests/actions/test_permissions.py"
AUTHORS, BOUNDS = "tests/actions/test_named_authors.py", "tests/actions/test_bounds.py"
HEADERS = "tests/api/test_preconditions.py"
PICTURES = "tests/actions/beside_the_log"
STOPPING = "tests/reports/queue/test_submit.py"
ACCOUNTS = "tests/actions/accounts"
DUE = RELEASES
JOINING, COMMANDS = "tests/record/unit/test_joining.py", "tests/api/test_commands.py"
SEEN = "tests/queries/test_units.py"

PATH_PERFORM: Final = "prep/actions/perform.py"
PATH_GUARDS: Final = "prep/record/unit/guards.py"
PATH_UNITS: Final = "prep/queries/units.py"
PATH_HEADERS: Final = "api/preconditions.py"
PATH_PICTURES: Final = "prep/actions/beside_the_log/pictures.py"
PATH_ATTEMPTS: Final = "prep/actions/accounts/attempts.py"
PATH_PLACES: Final = "prep/actions/accounts/places.py"
PATH_PINS: Final = "prep/actions/accounts/pins.py"


ONCE_SURVIVED: Final = (
    Mutant(
        "a sheet that changed since it was shown is released",
        "prep/record/unit/commands/releases.py",
        "if self.seen != sheet_digest(state):",
        "if False:",
        (RELEASES,),
    ),
    Mutant(
        "a tool out of service takes readings",
        "prep/record/instrument/known.py",
        "return not facts.out_of_service",
        "return True",
        (CHECKS, ENTRIES),
    ),
    Mutant(
        "a tool is past its calibration on the day it is due",
        "prep/record/instrument/known.py",
        "day <= date.fromisoformat(facts.due)",
        "day < date.fromisoformat(facts.due)",
        (CHECKS, ENTRIES),
    ),
    Mutant(
        "a registration is late on the day it is due",
        "prep/record/unit/commands/registrations.py",
        '"" < due < today',
        '"" < due <= today',
        (DUE,),
    ),
    Mutant(
        "anybody of the yard stops a document",
        "reports/queue/requests.py",
        "return bool(seen.roles & OFFICE) or request.person_id == person.pk",
        "return True",
        (STOPPING,),
    ),
    Mutant(
        "whoever asked for a document cannot stop it",
        "reports/queue/requests.py",
        "return bool(seen.roles & OFFICE) or request.person_id == person.pk",
        "return bool(seen.roles & OFFICE)",
        (STOPPING,),
    ),
    Mutant(
        "a weak entity tag matches",
        PATH_HEADERS,
        "for weak, tag in tags(given) if not weak",
        "for weak, tag in tags(given)",
        (HEADERS,),
    ),
    Mutant(
        "a picture may be of any size",
        PATH_PICTURES,
        "if len(content) > sort.most_bytes:",
        "if False:",
        (PICTURES,),
    ),
    Mutant(
        "a picture of the largest size is refused",
        PATH_PICTURES,
        "if len(content) > sort.most_bytes:",
        "if len(content) >= sort.most_bytes:",
        (PICTURES,),
    ),
    Mutant(
        "a picture may have any number of points",
        PATH_PICTURES,
        "if opened.width * opened.height > MOST_POINTS:",
        "if False:",
        (PICTURES,),
    ),
)

WRITING: Final = (
    Mutant(
        "a role is asked for only by the decision",
        PATH_PERFORM,
        "    standing = call.stream.standing(call.person, call.target, call.command)\n"
        "    permit(type(call.command), standing.roles, own=standing.own)\n",
        "    standing = call.stream.standing(call.person, call.target, call.command)\n",
        (PERMISSIONS,),
    ),
    Mutant(
        "a command sent again by somebody else is repeated to them",
        PATH_PERFORM,
        "if (cause.actor, cause.request) != (call.actor.id, call.request):",
        "if cause.request != call.request:",
        (PERFORM, RELEASES),
    ),
    Mutant(
        "a command id is used for something else",
        PATH_PERFORM,
        "if (cause.actor, cause.request) != (call.actor.id, call.request):",
        "if cause.actor != call.actor.id:",
        (PERFORM, RELEASES),
    ),
    Mutant(
        "a command in the log is done again",
        PATH_PERFORM,
        "    if done := _earlier(call, loaded):\n        return done\n",
        "",
        (PERFORM, RELEASES),
    ),
    Mutant(
        "what changed meanwhile is changed all the same",
        PATH_PERFORM,
        "if submission.version is not None and submission.version != loaded.version:",
        "if False:",
        (RELEASES, HEADERS),
    ),
    Mutant(
        "what the state does not allow is decided",
        PATH_PERFORM,
        "    command.guard(loaded.state, context)\n",
        "",
        (STEPS, RELEASES),
    ),
    Mutant(
        "a signature needs no PIN",
        PATH_PERFORM,
        "    if person is not None and command.signs():\n        pin",
        "    if person is None:\n        pin",
        (RELEASES, PERMISSIONS, STEPS),
    ),
    Mutant(
        "an entry is copied in the name of somebody who does no service",
        PATH_PERFORM,
        "if named is None or not named.roles & SERVICE:",
        "if named is None:",
        (AUTHORS,),
    ),
    Mutant(
        "a name is taken for what nobody does in another's",
        PATH_PERFORM,
        "    if not call.command.by_author or call.command.dated():\n"
        '        raise Refusal("author-unwanted", field="author")\n',
        "",
        (AUTHORS,),
    ),
    Mutant(
        "a role of today counts for what happened before it was held",
        PATH_PERFORM,
        "if then is not None and not kind.permission.roles & then:",
        "if False:",
        (BOUNDS, AUTHORS, "tests/actions/test_moments_differ.py"),
    ),
    Mutant(
        "the service signs by itself",
        PATH_PERFORM,
        "if kind.signs() or (call.actor.id == ITSELF.id and kind.permission.roles):",
        "if call.actor.id == ITSELF.id and kind.permission.roles:",
        (STOPPING,),
    ),
    Mutant(
        "the service gives commands that take a role",
        PATH_PERFORM,
        "if kind.signs() or (call.actor.id == ITSELF.id and kind.permission.roles):",
        "if kind.signs():",
        (STOPPING,),
    ),
    Mutant(
        "a unit of another yard is joined",
        PATH_PERFORM,
        "    if not all(roles_at(person, site) for _, site in units):\n"
        '        raise Refusal("no-such-unit", field="joined")\n',
        "    return\n",
        (JOINING,),
    ),
    Mutant(
        "somebody without a role at the other unit's yard changes it",
        PATH_PERFORM,
        "            permit(type(call.command), frozenset(roles_at(call.person, site)), site)\n",
        "            pass\n",
        (JOINING,),
    ),
    Mutant(
        "a moment before what it follows from is taken",
        PATH_PERFORM,
        "        context = replace("
        "context, happened=not_before(context.happened, bounds, call.said))\n",
        "",
        (BOUNDS,),
    ),
)
READING: Final = (
    Mutant(
        "a unit of any yard is seen",
        PATH_UNITS,
        "held_by(person).filter(site__units=unit)",
        "Membership.objects.filter(site__units=unit)",
        (SEEN, PERMISSIONS, COMMANDS),
    ),
    Mutant(
        "roles of one yard count at another",
        PATH_UNITS,
        "frozenset(Role(role) for _, _, role in memberships)",
        "frozenset(Role(one.role) for one in Membership.objects.filter(person=person))",
        (SEEN,),
    ),
    Mutant(
        "a unit of another yard may be joined to",
        PATH_UNITS,
        "goes_on.filter(site_id=site, handed_over=None)",
        "goes_on.filter(handed_over=None)",
        (SEEN, JOINING),
    ),
    Mutant(
        "a unit that was handed over may be joined to",
        PATH_UNITS,
        "goes_on.filter(site_id=site, handed_over=None)",
        "goes_on.filter(site_id=site)",
        (SEEN, JOINING),
    ),
    Mutant(
        "a unit may be joined to itself",
        PATH_UNITS,
        "        .exclude(pk=mine)\n",
        "",
        (SEEN, JOINING),
    ),
)
HEADERS_OF_REQUESTS: Final = (
    Mutant(
        "If-Match is never asked for",
        PATH_HEADERS,
        '        if required:\n            raise Refusal("precondition-missing")\n',
        "",
        (HEADERS, COMMANDS),
    ),
    Mutant(
        "a tag that is no version matches any",
        PATH_HEADERS,
        "return versions[0] if versions else MATCHES_NOTHING",
        "return versions[0] if versions else None",
        (HEADERS,),
    ),
    Mutant(
        "of several tags only the first counts",
        PATH_HEADERS,
        "if len(versions) > 1 and (present := now()) in versions:",
        "if False:",
        (HEADERS,),
    ),
    Mutant(
        "any version counts as the one that the sender has",
        PATH_HEADERS,
        "any(tag == str(version) for _, tag in tags(given))",
        "any(tags(given))",
        (HEADERS, "tests/api"),
    ),
)
GUARDING: Final = (
    Mutant(
        "a unit on hold is worked on",
        PATH_GUARDS,
        '    if record.held:\n        raise Refusal("on-hold", reason=record.held[0])\n',
        "",
        (STEPS, RELEASES, ENTRIES),
    ),
    Mutant(
        "a unit that was handed over is changed",
        PATH_GUARDS,
        '    if record.handover:\n        raise Refusal("handed-over")\n',
        "",
        (STEPS, RELEASES, ENTRIES),
    ),
    Mutant(
        "a record that ended in another goes on",
        PATH_GUARDS,
        "    if record.joined_into:\n",
        "    if False:\n",
        (JOINING,),
    ),
    Mutant(
        "a unit released for its buyer is worked on",
        PATH_GUARDS,
        'if record.release and record.release.event.ready_for == "buyer":',
        "if False:",
        (STEPS, RELEASES, ENTRIES),
    ),
    Mutant(
        "a step is begun before its turn",
        PATH_GUARDS,
        "    if missing:\n        raise _too_early(record, step, missing)\n",
        "",
        (STEPS, ENTRIES),
    ),
    Mutant(
        "a signed step is written in",
        PATH_GUARDS,
        "if status_of[step.step] in {Status.DONE, Status.AWAITS_SECOND}:",
        "if False:",
        (STEPS, ENTRIES),
    ),
    Mutant(
        "a step that awaits its second person is written in",
        PATH_GUARDS,
        "if status_of[step.step] in {Status.DONE, Status.AWAITS_SECOND}:",
        "if status_of[step.step] is Status.DONE:",
        (STEPS, ENTRIES),
    ),
    Mutant(
        "the cautions were read by somebody, not by who works",
        PATH_GUARDS,
        "context.actor.id not in record.step_state(step.step).acknowledged",
        "not record.step_state(step.step).acknowledged",
        (STEPS, ENTRIES),
    ),
    Mutant(
        "anybody works on a step",
        PATH_GUARDS,
        "    if not any(role.value in step.who for role in context.actor.roles):\n",
        "    if False:\n",
        (STEPS, ENTRIES, PERMISSIONS),
    ),
)
ACCOUNTING: Final = (
    Mutant(
        "the last free attempt is not waited after",
        PATH_ATTEMPTS,
        "    if used < free:\n        return timedelta()\n",
        "    if used <= free:\n        return timedelta()\n",
        (ACCOUNTS,),
    ),
    Mutant(
        "waits grow without an end",
        PATH_ATTEMPTS,
        "return min(FIRST_WAIT * float(2 ** min(used - free, GROWING)), LONGEST_WAIT)",
        "return FIRST_WAIT * float(2 ** min(used - free, GROWING))",
        (ACCOUNTS,),
    ),
    Mutant(
        "a password of any age lets somebody switch to themselves",
        PATH_PLACES,
        "given = PasswordGiven.objects.filter(place__in=places, at__gt=since, **whose)",
        "given = PasswordGiven.objects.filter(place__in=places, **whose)",
        (ACCOUNTS,),
    ),
    Mutant(
        "a former password lets somebody switch to themselves",
        PATH_PLACES,
        'return fits(given.password, str(person.pk), "password", person.password) is True',
        "return True",
        (ACCOUNTS,),
    ),
    Mutant(
        "somebody whose account is closed is switched to",
        PATH_PLACES,
        "if one.is_active and one.pin",
        "if one.pin",
        (ACCOUNTS,),
    ),
    Mutant(
        "digits of other scripts make a PIN",
        PATH_PINS,
        "if not (pin.isascii() and pin.isdigit()) or len(pin) not in PIN_DIGITS:",
        "if not pin.isdigit() or len(pin) not in PIN_DIGITS:",
        (ACCOUNTS,),
    ),
    Mutant(
        "a right PIN costs an attempt",
        PATH_PINS,
        "    taken.give_back()\n",
        "",
        (ACCOUNTS,),
    ),
)

MUTANTS: Final = (
    *ONCE_SURVIVED,
    *WRITING,
    *READING,
    *HEADERS_OF_REQUESTS,
    *GUARDING,
    *ACCOUNTING,
)
