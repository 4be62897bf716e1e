#pragma once
// Which key holds which member: one description per body, used by the writer and the reader (body_json.cpp).
//
//   v(key, member)            required
//   v.usual(key, member)      always written; if absent, the member keeps its default
//   v.maybe(key, member)      written unless it equals T{}; absent means T{}
//   v.object_of(key, members) a nested object; left out if empty
//   v.derived(key, function)  written for people and other programs; ignored when read

#include <concepts>
#include <string>
#include <type_traits>

#include "core/ledger/body.h"

namespace restand {

template <class B, class T>
concept Like = std::same_as<std::remove_const_t<B>, T>;

// The key suffix for the canonical unit of this dimension; "" for counts, ratios and names.
std::string unit_suffix(Dimension dimension);
// Mean of the repeats in the canonical unit; nullopt for text and for repeats that are not numbers.
std::optional<double> mean_of(const Reading& reading);

template <class V, Like<PersonBody> B>
void fields(V& v, B& b) {
    v("name", b.name);
}

template <class V, Like<UnitsBody> B>
void fields(V& v, B& b) {
    v.usual("length", b.units.length);
    v.usual("rate", b.units.rate);
    v.usual("force", b.units.force);
    v.usual("mass", b.units.mass);
    v.usual("pressure", b.units.pressure);
}

template <class V, Like<EndSetup> B>
void fields(V& v, B& b) {
    v.maybe("leverage", b.leverage);
    v.maybe("pairs_mm", b.pairs);
    v.usual("tolerance_mm", b.tolerance);
}

template <class V, Like<Geometry> B>
void fields(V& v, B& b) {
    v.maybe("swingarm_mm", b.swingarm);
    v.maybe("wheelbase_mm", b.wheelbase);
    v.maybe("rear_wheel_radius_mm", b.rear_wheel_radius);
    v.maybe("front_wheel_radius_mm", b.front_wheel_radius);
    v.maybe("offset_mm", b.offset);
    v.maybe("pivot_height_mm", b.pivot_height);
    v.maybe("rake_deg", b.rake);
}

template <class V, Like<PlanePoint> B>
void fields(V& v, B& b) {
    v("x_mm", b.x);
    v("z_mm", b.z);
}
template <class V, Like<Pin> B>
void fields(V& v, B& b) {
    v("on", b.on);
    v("at", b.at);
}
template <class V, Like<Rocker> B>
void fields(V& v, B& b) {
    v("pivot", b.pivot);
    v("rod_end", b.rod_end);
    v("rod_mm", b.rod);
    v("pivot_to_rod_mm", b.pivot_to_rod);
    v("pivot_to_unit_mm", b.pivot_to_unit);
    v("spread_deg", b.spread);
    v("side", b.side);
}
template <class V, Like<Linkage> B>
void fields(V& v, B& b) {
    v("unit_end", b.unit_end);
    v.maybe("rocker", b.rocker);
    v.usual("direct", b.direct);
}
template <class V, Like<Mechanism> B>
void fields(V& v, B& b) {
    v.maybe("linkage", b.linkage);
    v.maybe("front_sprocket", b.front_sprocket);
    v.maybe("slot_length_mm", b.slot_length);
    v.maybe("chain_pitch_mm", b.chain_pitch);
}
template <class V, Like<Gearbox> B>
void fields(V& v, B& b) {
    v.maybe("primary", b.primary);
    v.maybe("gears", b.gears);
    v.maybe("rpm", b.rpm);
}

template <class V, Like<HowRead> B>
void fields(V& v, B& b) {
    v.maybe("front_heights", b.front_heights);
    v.maybe("slack_stand", b.slack_stand);
}

template <class V, Like<BikeBody> B>
void fields(V& v, B& b) {
    v("name", b.name);
    v.maybe("note", b.note);
    v.usual("rear", b.rear);
    v.usual("front", b.front);
    v.maybe("geometry", b.geometry);
    v.maybe("mechanism", b.mechanism);
    v.maybe("gearbox", b.gearbox);
    v.maybe("chain_limit_percent", b.chain_limit_percent);
    v.maybe("archived", b.archived);
    v.maybe("how_read", b.how_read);
}

template <class V, Like<SwapBody> B>
void fields(V& v, B& b) {
    v.one_or_more("part", "parts", b.parts);
}
template <class V, Like<StepBody> B>
void fields(V& v, B& b) {
    v("step", b.step);
}
template <class V, Like<SwapEndBody> B>
void fields(V& v, B& b) {
    v("kept", b.kept);
}
template <class V, Like<RetractionBody> B>
void fields(V& v, B& b) {
    v.maybe("why", b.why);
}

template <class V, Like<Typed> B>
void fields(V& v, B& b) {
    v("text", b.text);
    v("unit", b.unit);
}

template <class V, Like<Reading> B>
void fields(V& v, B& b) {
    v("point", b.point);
    v("repeats", b.repeats);
    const std::string suffix = unit_suffix(facts(b.point).dimension);
    v.derived("value" + suffix, [&] { return mean_of(b); });
    v.object_of("instrument", [&](auto& inner) {
        inner.maybe("name", b.instrument.name);
        inner.maybe("resolution" + suffix, b.instrument.resolution);
        inner.maybe("accuracy" + suffix, b.instrument.accuracy);
    });
    v.maybe("where", b.where);
    v.maybe("settled_anew", b.settled_anew);
    v.object_of("spread", [&](auto& inner) {
        Spread s = b.spread.value_or(Spread{});
        inner.maybe("read" + suffix, s.read);
        inner.maybe("read_dof", s.read_dof);
        inner.maybe("settled" + suffix, s.settled);
        inner.maybe("settled_dof", s.settled_dof);
        if constexpr (!std::is_const_v<B>) b.spread = s;
    });
}

template <class V, Like<ReadingBody> B>
void fields(V& v, B& b) {
    v("phase", b.phase);
    v.maybe("end", b.end);
    fields(v, b.reading);
    v.maybe("confirmed", b.confirmed);
}

template <class V, Like<BaselineValue> B>
void fields(V& v, B& b) {
    v("end", b.end);
    fields(v, b.stored.reading);
    v.maybe("entry", b.stored.entry);
    v.maybe("by", b.stored.by);
    v.maybe("at_ms", b.stored.at.ms);
    v.maybe("at_counter", b.stored.at.counter);
    v.maybe("swap", b.stored.swap);
    v.maybe("confirmed", b.stored.confirmed);
}

template <class V, Like<BaselineBody> B>
void fields(V& v, B& b) {
    v.maybe("reason", b.reason);
    v.maybe("based_on", b.based_on);
    v.usual("values", b.values);
    v.maybe("judged", b.judged);
}

template <class V, Like<SetValue> B>
void fields(V& v, B& b) {
    v("end", b.end);
    fields(v, b.reading);
}
template <class V, Like<ChangeBody> B>
void fields(V& v, B& b) {
    v.maybe("note", b.note);
    v.usual("values", b.values);
}
template <class V, Like<EventBody> B>
void fields(V& v, B& b) {
    v.maybe("day", b.day);
    v.maybe("circuit", b.circuit);
    v.maybe("session", b.session);
    v.maybe("weather", b.weather);
    v.maybe("tyre", b.tyre);
    v.maybe("words", b.words);
    v.maybe("distance_km", b.distance_km);
    v.maybe("running_h", b.running_h);
    v.maybe("air_c", b.air_c);
    v.maybe("track_c", b.track_c);
}
template <class V, Like<PartBody> B>
void fields(V& v, B& b) {
    v("name", b.name);
    v.maybe("limit_km", b.limit_km);
    v.maybe("limit_h", b.limit_h);
    v.maybe("used_km", b.used_km);
    v.maybe("used_h", b.used_h);
    v.maybe("gone", b.gone);
}
template <class V, Like<ShelfBody> B>
void fields(V& v, B& b) {
    v("part", b.part);
    v("name", b.name);
    v.usual("values", b.values);
    v.maybe("gone", b.gone);
}
template <class V, Like<JobBody> B>
void fields(V& v, B& b) {
    v("what", b.what);
    v.maybe("why", b.why);
    v.maybe("before", b.before);
    v.maybe("part", b.part);
    v.maybe("from", b.from);
    v.maybe("ordered", b.ordered);
    v.maybe("due", b.due);
    v.maybe("arrived", b.arrived);
    v.maybe("blocked_by", b.blocked_by);
    v.maybe("who", b.who);
    v.maybe("planned_min", b.minutes_planned);
    v.maybe("taken_min", b.minutes_taken);
    v.maybe("done", b.done);
    v.maybe("dropped", b.dropped);
}
template <class V, Like<PickBody> B>
void fields(V& v, B& b) {
    v("item", b.item);
}
template <class V, Like<PlanBody> B>
void fields(V& v, B& b) {
    v("target", b.target);
}
template <class V, Like<PlanStepBody> B>
void fields(V& v, B& b) {
    v("action", b.action);
    v.usual("values", b.values);
}
template <class V, Like<PlanEndBody> B>
void fields(V& v, B& b) {
    v("reached", b.reached);
    v.maybe("not_restored", b.not_restored);
}
template <class V, Like<RecordBody> B>
void fields(V& v, B& b) {
    v.maybe("day", b.day);
    v.maybe("source", b.source);
    v.usual("values", b.values);
}
template <class V, Like<DeviceBody> B>
void fields(V& v, B& b) {
    v("name", b.name);
    v("incarnation", b.incarnation);
    v.maybe("follows", b.follows);
}

}  // namespace restand
